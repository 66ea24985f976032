"""The forms of beam that the shop keeps by name."""

from collections.abc import Iterable
from typing import ClassVar

from textual.binding import Binding, BindingType
from textual.widget import Widget

from crewdesk.job.books.kept_forms import KeptForm, known_forms, remove_form
from crewdesk.screens.ask import Choose
from crewdesk.screens.lines import Lines, Row
from crewdesk.screens.new_job import ask_form, form_told
from crewdesk.screens.page import Page
from crewdesk.trade.length import STEPS


class FormsPage(Page):
    """A line for each form, the shop's own first."""

    WHERE = "Shop · forms of beam"
    OF_SHOP = True
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("a", "add", "Add"),
        Binding("delete,backspace", "remove", "Remove", key_display="del"),
        Binding("escape", "leave", "Back"),
    ]

    def body(self) -> Iterable[Widget]:
        yield Lines()

    def on_mount(self) -> None:
        """Begin on the first line."""
        self.query_one(Lines).focus()

    @property
    def _known(self) -> dict[str, KeptForm]:
        """By their names, the shop's own forms first."""
        return {one.name: one for one in known_forms(self.desk_app.desk.shop.record())}

    def record_changed(self, rows: frozenset[tuple[str, str]]) -> None:
        """Show the forms as they are."""
        step = STEPS[self.desk_app.desk.shop.shop().step]
        self.query_one(Lines).show(
            [
                Row(
                    (
                        (f" {form_told(one, step)}", "strong" if one.row else "text"),
                        ("" if one.row else "   (comes with crewdesk)", "muted"),
                    ),
                    name,
                )
                for name, one in self._known.items()
            ]
        )

    def action_add(self) -> None:
        """Ask for a form to keep."""
        ask_form(self.desk_app)

    def action_remove(self) -> None:
        """Ask whether the form under the cursor goes."""
        one = self._known.get(self.query_one(Lines).key)
        if one is None or not one.row:
            self.tell("This one comes with crewdesk; one of your own of its name replaces it.")
            return
        row = one.row

        def chosen(way: str | None) -> None:
            if way is not None:
                self.desk_app.do_shop(lambda books, now: remove_form(books, row, now))

        ways = (("yes", "Remove it"),)
        self.app.push_screen(
            Choose(f"Remove {one.name}?", ways, about="Beams stay as they are."), callback=chosen
        )

    def action_leave(self) -> None:
        """Back to where one came from."""
        self.app.pop_screen()

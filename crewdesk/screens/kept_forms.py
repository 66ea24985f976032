"""The forms of beam that the shop keeps by name."""

from crewdesk.job.books.kept_form import KeptForm
from crewdesk.job.books.kept_forms import known_forms, remove_form
from crewdesk.length import STEPS
from crewdesk.screens.ask import Choose
from crewdesk.screens.lines import Row
from crewdesk.screens.lines_page import LinesPage
from crewdesk.screens.new_job import ask_form, form_told


class FormsPage(LinesPage):
    """A line for each form, the shop's own first."""

    WHERE = "Shop · forms of beam"
    OF_SHOP = True
    AREA = "forms-of-the-shop"

    DEFAULT_CSS = "FormsPage #here { display: none; }"

    @property
    def _known(self) -> dict[str, KeptForm]:
        """By their names, the shop's own forms first."""
        return {one.name: one for one in known_forms(self.desk_app.desk.shop.record())}

    def rows(self) -> list[Row]:
        step = STEPS[self.desk_app.desk.shop.shop().step]
        return [
            Row(
                (
                    (f" {form_told(one, step)}", "strong" if one.row else "text"),
                    ("" if one.row else "   (built in)", "muted"),
                ),
                name,
            )
            for name, one in self._known.items()
        ]

    def action_add(self) -> None:
        ask_form(self.desk_app)

    def action_remove(self) -> None:
        one = self._known.get(self.key)
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

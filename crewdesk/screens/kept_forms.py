"""The forms of beam that the shop keeps by name."""

from collections.abc import Sequence

from crewdesk.job.books.kept_form import KeptForm
from crewdesk.job.books.kept_forms import known_forms, remove_form
from crewdesk.length import STEPS
from crewdesk.screens.list_page import Column, ListPage, Removal
from crewdesk.screens.new_job import ask_form, form_told


class FormsPage(ListPage[KeptForm]):
    """A line for each form, the shop's own first."""

    WHERE = "Shop · forms of beam"
    OF_SHOP = True
    AREA = "forms-of-the-shop"
    DEFAULT_CSS = "FormsPage #here { display: none; }"

    def things(self) -> Sequence[KeptForm]:
        return known_forms(self.desk_app.desk.shop.record())

    def key_of(self, one: KeptForm) -> str:
        return one.name

    def columns(self, width: int) -> Sequence[Column[KeptForm]]:
        step = STEPS[self.desk_app.desk.shop.shop().step]
        return (
            Column(
                "", 0, lambda one: form_told(one, step), lambda one: "strong" if one.row else "text"
            ),
            Column("", 0, lambda one: "" if one.row else "   (built in)", "muted"),
        )

    def add_one(self) -> None:
        ask_form(self.desk_app)

    def change_here(self) -> None:
        """A form is not changed: one of its name replaces it."""

    def remove_here(self) -> None:
        if self.here is not None and self.here.row:
            super().remove_here()
        else:
            self.tell("This one comes with crewdesk; one of your own of its name replaces it.")

    def removal(self, one: KeptForm) -> Removal:
        return Removal(
            f"Remove {one.name}?",
            "Remove it",
            "Beams stay as they are.",
            lambda books, now: remove_form(books, one.row, now),
        )

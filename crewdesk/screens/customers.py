"""The customers of the shop: where they are, and on which terms they pay."""

from collections.abc import Iterable

from textual import on
from textual.widget import Widget
from textual.widgets import Static

from crewdesk.job.books.customer import Customer
from crewdesk.job.books.customers import FIELDS, keep_customer, remove_customer
from crewdesk.job.words import lines_of, text_of
from crewdesk.paper.plain import plain
from crewdesk.screens.ask import Choose, Line
from crewdesk.screens.ask_change import ask_shop_change
from crewdesk.screens.lines import Lines, Row
from crewdesk.screens.lines_page import LinesPage

_NONE = " No customer yet.  {add} adds one; a job's letters go to the customer it names."


class CustomersPage(LinesPage):
    """A line for each customer."""

    WHERE = "Shop · customers"
    OF_SHOP = True
    AREA = "customers"

    def above(self) -> Iterable[Widget]:
        yield Static(f" {'name':<30}{'phone':<20}days to pay", id="heads", markup=False)

    def rows(self) -> list[Row]:
        books = self.desk_app.desk.shop.record()
        shown = [
            Row(
                (
                    (f" {plain(one.name):<30.30}", "text"),
                    (f"{plain(one.phone):<20.20}", "muted"),
                    (
                        f"{books.shop.terms}, the shop's" if one.terms is None else f"{one.terms}",
                        "muted" if one.terms is None else "strong",
                    ),
                ),
                one.row,
            )
            for one in sorted(books.customers, key=lambda one: one.name.casefold())
        ]
        return shown or [Row(((self.with_keys(_NONE), "muted"),))]

    @property
    def _here(self) -> Customer | None:
        every = self.desk_app.desk.shop.record().customers
        return next((one for one in every if one.row == self.key), None)

    def about(self, key: str) -> str:
        one = self._here
        return "" if one is None else f"{plain(lines_of(one.address))}\n{plain(one.email)}"

    def action_add(self) -> None:
        self._ask(None)

    @on(Lines.Chosen)
    def action_change(self) -> None:
        if (customer := self._here) is not None:
            self._ask(customer)

    def _ask(self, one: Customer | None) -> None:
        terms = "" if one is None or one.terms is None else str(one.terms)
        ask_shop_change(
            self.desk_app,
            "Change the customer" if one else "Add a customer",
            (
                Line("name", "Name", one.name if one else "", "as jobs name them"),
                Line("address", "Address", lines_of(one.address) if one else "", "street / town"),
                Line("phone", "Phone", one.phone if one else ""),
                Line("email", "E-mail", one.email if one else ""),
                Line("terms", "Days to pay", terms, "empty: the shop's"),
            ),
            lambda books, answer, now: keep_customer(
                books,
                now,
                row=one.row if one else "",
                **{key: text_of(answer[key]) for key in FIELDS},
            ),
            does="Save" if one else "Add it",
        )

    def action_remove(self) -> None:
        customer = self._here
        if customer is None:
            return

        def chosen(way: str | None) -> None:
            if way is not None:
                self.desk_app.do_shop(lambda books, now: remove_customer(books, customer.row, now))

        self.app.push_screen(
            Choose(
                f"Remove {customer.name}?",
                (("yes", "Remove them"),),
                about="What was sent to them stays.",
            ),
            callback=chosen,
        )

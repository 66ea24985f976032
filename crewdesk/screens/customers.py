"""The customers of the shop: where they are, and on which terms they pay."""

from collections.abc import Mapping
from datetime import datetime

from crewdesk.job.books.customer import Customer
from crewdesk.job.books.customers import FIELDS, keep_customer, remove_customer
from crewdesk.job.books.shop_record import ShopRecord
from crewdesk.job.change import Change
from crewdesk.job.words import lines_of, text_of
from crewdesk.paper.plain import plain
from crewdesk.screens.ask import Answer, Field
from crewdesk.screens.list_page import Column, ListPage, Removal


class CustomersPage(ListPage[Customer]):
    """A line for each customer."""

    WHERE = "Shop · customers"
    OF_SHOP = True
    AREA = "customers"
    NONE = "No customer yet.  {add} adds one; a job's letters go to the customer it names."
    TITLES = "Add a customer", "Change the customer"
    FIELDS = (
        Field("name", "Name", hint="as jobs name them"),
        Field("address", "Address", hint="street / town"),
        Field("phone", "Phone"),
        Field("email", "E-mail"),
        Field("terms", "Days to pay", hint="empty: the shop's"),
    )

    def things(self) -> list[Customer]:
        every = self.desk_app.desk.shop.record().customers
        return sorted(every, key=lambda one: one.name.casefold())

    def columns(self, width: int) -> tuple[Column[Customer], ...]:
        usual = f"{self.desk_app.desk.shop.shop().terms}, the shop's"
        return (
            Column("name", 30, lambda one: one.name),
            Column("phone", 20, lambda one: one.phone, "muted"),
            Column(
                "days to pay",
                0,
                lambda one: usual if one.terms is None else f"{one.terms}",
                lambda one: "muted" if one.terms is None else "strong",
            ),
        )

    def about(self, key: str) -> str:
        one = self.here
        return "" if one is None else f"{plain(lines_of(one.address))}\n{plain(one.email)}"

    def shown(self, one: Customer | None) -> Mapping[str, str]:
        if one is None:
            return {}
        terms = "" if one.terms is None else str(one.terms)
        address = lines_of(one.address)
        return {
            "name": one.name,
            "address": address,
            "phone": one.phone,
            "email": one.email,
            "terms": terms,
        }

    def keep(
        self, record: ShopRecord, answer: Answer, now: datetime, one: Customer | None
    ) -> Change:
        values = {key: text_of(answer[key]) for key in FIELDS}
        return keep_customer(record, now, row=one.row if one else "", **values)

    def removal(self, one: Customer) -> Removal:
        return Removal(
            f"Remove {one.name}?",
            "Remove them",
            "What was sent to them stays.",
            lambda books, now: remove_customer(books, one.row, now),
        )

"""Extra work: change orders, each with its own price or rate, who accepted it and when."""

from crewdesk.job.books.order import Order
from crewdesk.job.books.orders import accept_order, remove_order, typed_order
from crewdesk.job.logged import total
from crewdesk.job.record import Record
from crewdesk.paper.lists import order_price, order_stands
from crewdesk.paper.plain import plain
from crewdesk.screens.ask import Choose, Line
from crewdesk.screens.ask_change import ask_change
from crewdesk.screens.leaf import Leaf, none_rows
from crewdesk.screens.lines import Row
from crewdesk.store.books import JobBooks
from crewdesk.trade.books.dates import read_day
from crewdesk.trade.books.durations import to_the_minute

_NONE = "No extra work yet.  {add} adds a change order: what it is, its price or 85/h."


class ExtraLeaf(Leaf):
    """A line for each change order; none is ever part of the base price."""

    NAME = "Extra work"

    def heads(self, books: JobBooks, width: int) -> str:
        return f" no. {'':<{_wide(width)}}{'price':>13}  how it stands"

    def rows(self, books: JobBooks, width: int) -> list[Row]:
        billed = books.money.extras
        rows, wide = [], _wide(width)
        for order in books.record.orders:
            ink = "muted" if order.row in billed else "text" if order.taken else "running"
            rows.append(
                Row(
                    (
                        (f" {order.row:>2}  {plain(order.text):<{wide}.{wide}}", "text"),
                        (f"{order_price(order):>13}  ", "text"),
                        (order_stands(order, billed.get(order.row)), ink),
                    ),
                    order.row,
                )
            )
        return rows or none_rows(self.keyed(_NONE), width)

    def about(self, books: JobBooks, key: str) -> str:
        order = _order(books.record, key)
        if order is None:
            return "Extra work is billed once somebody accepted it."
        logged = [entry for entry in books.record.entries if entry.order == order.row]
        time = f"   {to_the_minute(total(logged, books.now))} logged on it" if logged else ""
        if order.taken:
            when = "at the end" if order.hour is not None else "next"
            then = (
                f"Accepted by {order.accepted_by} on {order.accepted_on}; it goes on the invoice "
                f"that is {when}{self.keyed(': {invoice}.')}"
            )
            if order.row in (found := books.money.extras):
                then = (
                    f"Accepted by {order.accepted_by} on {order.accepted_on}, billed on "
                    f"invoice {found[order.row]}."
                )
        else:
            then = self.keyed("{accept} notes who accepted it; before that it goes on no invoice.")
        return plain(f"{order.text}{time}") + "\n" + plain(then)

    def add(self, books: JobBooks, key: str) -> None:
        """Ask for a change order."""
        self._ask(None)

    def change(self, books: JobBooks, key: str) -> None:
        """Ask for another text or price of the change order under the cursor."""
        order = _order(books.record, key)
        if order is None:
            return
        if order.taken:
            self.app.tell(f"{order.text} was accepted and stays as it is; add another.", "wrong")
            return
        self._ask(order)

    def _ask(self, order: Order | None) -> None:
        price = "" if order is None else _typed(order)
        ask_change(
            self.app,
            "Change the extra work" if order else "Add extra work",
            (
                Line("text", "What", order.text if order else "", "what is done besides"),
                Line("price", "Price or rate", price, "240, or 85/h"),
            ),
            lambda record, answer, now: typed_order(
                record, answer["text"], answer["price"], now, row=order.row if order else ""
            ),
            does="Save" if order else "Add it",
        )

    def accept(self, books: JobBooks, key: str) -> None:
        """Ask who accepted the change order under the cursor, and when."""
        order = _order(books.record, key)
        if order is None:
            return
        if order.taken:
            self.app.tell(
                f"{order.text} was accepted already, by {order.accepted_by} "
                f"on {order.accepted_on}.",
                "wrong",
            )
            return
        ask_change(
            self.app,
            f"{order.text}, {order_price(order)}, is accepted",
            (
                Line("by", "By", books.record.job.customer, "a name"),
                Line("on", "On", f"{books.today}", "today, yesterday, mon, 3/9, 2026-03-09"),
            ),
            lambda record, answer, now: accept_order(
                record,
                order.row,
                answer["by"],
                read_day(answer["on"], books.today),
                now,
                today=self.app.today,
            ),
            does="Keep it as accepted",
        )

    def remove(self, books: JobBooks, key: str) -> None:
        """Ask whether the change order under the cursor goes."""
        order = _order(books.record, key)
        if order is None:
            return

        def chosen(way: str | None) -> None:
            if way is not None:
                self.app.do(lambda record, now: remove_order(record, order.row, now))

        self.app.push_screen(
            Choose(f"Remove {order.text}?", (("yes", "Remove it"),)), callback=chosen
        )


def _wide(width: int) -> int:
    """The columns of what the work is: what its price and how it stands leave."""
    return min(max(width - 42, 16), 60)


def _order(record: Record, key: str) -> Order | None:
    return next((order for order in record.orders if order.row == key), None)


def _typed(order: Order) -> str:
    return f"{order.hour}/h" if order.hour is not None else str(order.price)

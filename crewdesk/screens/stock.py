"""The stock list: the boards that can be had, with their prices, and those on hand."""

from collections.abc import Mapping
from datetime import datetime

from crewdesk.job.books.shop_record import ShopRecord
from crewdesk.job.change import Change
from crewdesk.job.lumber.stock import HandBoard, StockLine
from crewdesk.job.lumber.stock_list import remove_from, shown_stock, typed_hand, typed_stock
from crewdesk.paper.stock import hand_told
from crewdesk.screens.ask import Answer, Field, ask_shop_change
from crewdesk.screens.lines import Row
from crewdesk.screens.list_page import ListPage, Removal

_BOARD = (
    Field("species", "Wood", hint="White oak"),
    Field("grade", "Grade", hint="clear"),
    Field("size", "Size", hint="1x12, 5/4 x 8, or 4/4 x 9-1/2"),
    Field("true", "True size", hint="3/4 x 11-1/4, if its name tells another"),
)
_HAND = (
    *_BOARD,
    Field("length", "Length", hint="9' 10"),
    Field("bad", "Bad from .. to", hint="40..43, in inches from one end"),
)


class StockPage(ListPage[StockLine | HandBoard]):
    """A line for each size that can be had and each board on hand."""

    WHERE = "Shop · boards"
    OF_SHOP = True
    AREA = "boards-of-the-shop"
    DEFAULT_CSS = """
    StockPage Lines { padding: 0 0 0 1; }
    StockPage #here { display: none; }
    """
    TITLES = "A board that can be had", "A board that can be had"
    DOES = "Save", "Save"
    FIELDS = (
        *_BOARD,
        Field("lengths", "Lengths", hint="8', 10', 12' x 4 if there are only 4"),
        Field("price", "Price", hint="6.60"),
        Field("per", "  of one", "foot", "piece, foot or board foot"),
    )

    def things(self) -> tuple[StockLine | HandBoard, ...]:
        books = self.desk_app.desk.shop.record()
        return *books.stock, *books.on_hand

    def key_of(self, one: StockLine | HandBoard) -> str:
        return f"{'stock' if isinstance(one, StockLine) else 'on_hand'}:{one.row}"

    def rows(self) -> list[Row]:
        lines, hand = [Row((("Boards that can be had", "head"),))], []
        for one in self.things():
            if isinstance(one, HandBoard):
                hand.append(Row(((f" {hand_told(one)}", "text"),), self.key_of(one)))
                continue
            shown = shown_stock(one)
            lines.append(
                Row(((f" {one.label:<28}", "strong"), (f"{shown['true'] + ' in':<18}", "text"),
                     (f"{one.price:>8,.2f} per {one.per}", "text")), self.key_of(one))
            )  # fmt: skip
            lines.append(Row(((f"   {shown['lengths']}", "muted"),)))
        if len(lines) == 1:
            told = self.with_keys(" None yet; {add} adds a size with its lengths and price.")
            lines.append(Row(((told, "text"),)))
        told = self.with_keys(" None yet; {add-one-on-hand} adds one with its bad stretches.")
        heads = [Row(()), Row((("Boards on hand", "head"),))]
        return [*lines, *heads, *(hand or [Row(((told, "text"),))])]

    def shown(self, one: StockLine | HandBoard | None) -> Mapping[str, str]:
        return shown_stock(one) if isinstance(one, StockLine) else {}

    def keep(
        self, record: ShopRecord, answer: Answer, now: datetime, one: StockLine | HandBoard | None
    ) -> Change:
        return typed_stock(record, answer, now, row=one.row if one else "")

    def action_add_hand(self) -> None:
        ask_shop_change(self.desk_app, "A board on hand", _HAND, typed_hand, does="Add it")

    def change_here(self) -> None:
        if isinstance(self.here, HandBoard):
            self.tell("A board on hand is taken out with del and added anew with o.")
        else:
            super().change_here()

    def removal(self, one: StockLine | HandBoard) -> Removal:
        table, _, row = self.key_of(one).partition(":")
        return Removal(
            "Take this out of the list?",
            "Take it out",
            "",
            lambda books, now: remove_from(books, table, row, now),
        )

"""The stock list: the boards that can be had, with their prices, and those on hand."""

from textual import on

from crewdesk.job.books.shop_record import ShopRecord
from crewdesk.job.lumber.stock import StockLine
from crewdesk.job.lumber.stock_list import remove_from, shown_stock, typed_hand, typed_stock
from crewdesk.paper.stock import hand_told
from crewdesk.screens.ask import Answer, Ask, Choose, Line
from crewdesk.screens.lines import Lines, Row
from crewdesk.screens.lines_page import LinesPage

_STOCK = (
    ("species", "Wood", "White oak"),
    ("grade", "Grade", "clear"),
    ("size", "Size", "1x12, 5/4 x 8, or 4/4 x 9-1/2"),
    ("true", "True size", "3/4 x 11-1/4, if its name tells another"),
    ("lengths", "Lengths", "8', 10', 12' x 4 if there are only 4"),
    ("price", "Price", "6.60"),
    ("per", "  of one", "piece, foot or board foot"),
)
_HAND = (
    *_STOCK[:4],
    ("length", "Length", "9' 10"),
    ("bad", "Bad from .. to", "40..43, in inches from one end"),
)


class StockPage(LinesPage):
    """A line for each size that can be had and each board on hand."""

    WHERE = "Shop · boards"
    OF_SHOP = True
    AREA = "boards-of-the-shop"
    DEFAULT_CSS = """
    StockPage Lines { padding: 0 0 0 1; }
    StockPage #here { display: none; }
    """

    @property
    def _books(self) -> ShopRecord:
        return self.desk_app.desk.shop.record()

    def rows(self) -> list[Row]:
        books = self._books
        lines = [Row((("Boards that can be had", "head"),))]
        for one in books.stock:
            shown = shown_stock(one)
            lines.append(
                Row(((f" {one.label:<28}", "strong"), (f"{shown['true'] + ' in':<18}", "text"),
                     (f"{one.price:>8,.2f} per {one.per}", "text")), f"stock:{one.row}")
            )  # fmt: skip
            lines.append(Row(((f"   {shown['lengths']}", "muted"),)))
        if not books.stock:
            told = self.with_keys(" None yet; {add} adds a size with its lengths and price.")
            lines.append(Row(((told, "text"),)))
        lines += [Row(()), Row((("Boards on hand", "head"),))]
        lines += [Row(((f" {hand_told(b)}", "text"),), f"on_hand:{b.row}") for b in books.on_hand]
        if not books.on_hand:
            told = self.with_keys(" None yet; {add-one-on-hand} adds one with its bad stretches.")
            lines.append(Row(((told, "text"),)))
        return lines

    def action_add(self) -> None:
        self._ask_stock(None)

    def _ask_stock(self, line: StockLine | None) -> None:
        app, row = self.desk_app, line.row if line else ""
        shown = shown_stock(line) if line else {"per": "foot"}

        def given(answer: Answer | None) -> None:
            if answer is not None:
                self.desk_app.do_shop(lambda books, now: typed_stock(books, answer, now, row=row))

        self.app.push_screen(
            Ask(
                "A board that can be had",
                [Line(key, asks, shown.get(key, ""), hint) for key, asks, hint in _STOCK],
                lambda answer: typed_stock(self._books, answer, app.now(), row=row),
            ),
            callback=given,
        )

    def action_add_hand(self) -> None:
        app = self.desk_app

        def given(answer: Answer | None) -> None:
            if answer is not None:
                self.desk_app.do_shop(lambda books, now: typed_hand(books, answer, now))

        self.app.push_screen(
            Ask(
                "A board on hand",
                [Line(key, asks, "", hint) for key, asks, hint in _HAND],
                lambda answer: typed_hand(self._books, answer, app.now()),
                does="Add it",
            ),
            callback=given,
        )

    @on(Lines.Chosen)
    def action_change(self) -> None:
        table, _, row = self.key.partition(":")
        if table == "stock":
            self._ask_stock(self._books.view("stock", row, StockLine.from_doc))
        elif row:
            self.tell("A board on hand is taken out with del and added anew with o.")

    def action_remove(self) -> None:
        table, _, row = self.key.partition(":")
        if not row:
            return

        def chosen(way: str | None) -> None:
            if way is not None:
                self.desk_app.do_shop(lambda books, now: remove_from(books, table, row, now))

        self.app.push_screen(
            Choose("Take this out of the list?", (("yes", "Take it out"),)), callback=chosen
        )

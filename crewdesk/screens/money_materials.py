"""The material of a job, line by line."""

from decimal import Decimal
from typing import TYPE_CHECKING

from crewdesk.errors import CrewdeskError
from crewdesk.job.books.material import MaterialLine
from crewdesk.job.books.materials import remove_material, typed_material
from crewdesk.job.lumber.into_estimate import into_estimate
from crewdesk.job.lumber.kept import kept_takeoff, without_board
from crewdesk.job.record import Record
from crewdesk.paper.letter import money
from crewdesk.paper.lists import quantity_told
from crewdesk.paper.plain import plain
from crewdesk.screens.ask import Choose, Line
from crewdesk.screens.ask_change import ask_change
from crewdesk.screens.leaf import Leaf
from crewdesk.screens.lines import Row
from crewdesk.screens.planning import Planning
from crewdesk.screens.program import Program
from crewdesk.store.books import JobBooks
from crewdesk.store.lumber import job_task

if TYPE_CHECKING:
    from crewdesk.job.lumber.takeoff import Takeoff

SECONDS = 60
"""The longest search for a plan of boards that nobody stops."""
_NONE = (
    " No material yet.",
    " {takeoff}  takes the boards of the takeoff and what is used up besides.",
    " {add}  adds a line: what, how many, at what price each.",
)


class MaterialsLeaf(Leaf):
    """A line for each thing that is bought."""

    NAME = "Material"

    def heads(self, books: JobBooks, width: int) -> str:
        percents = f"{'waste':>7}{'markup':>8}" if _roomy(width) else ""
        return f" {'':<{_wide(width)}}{'how many':>9}{'each':>11}{percents}{'on the bill':>12}"

    def rows(self, books: JobBooks, width: int) -> list[Row]:
        shop, wide = books.books.shop, _wide(width)
        rows = []
        for line in books.record.materials:
            found = line.material(shop)
            many = quantity_told(line.quantity)
            percents = (
                (f"{_percent(found.waste, line.of):>7}", "muted"),
                (f"{_percent(found.markup):>8}", "muted"),
            )
            rows.append(
                Row(
                    (
                        (f" {plain(line.text):<{wide}.{wide}}", "text"),
                        (f"{many:>9}{money(line.price):>11}", "text"),
                        *(percents if _roomy(width) else ()),
                        (f"{money(found.amount):>12}", "strong"),
                    ),
                    line.row,
                )
            )
        return rows or [Row(((self.keyed(line), "muted"),)) for line in _NONE]

    def about(self, books: JobBooks, key: str) -> str:
        line = _line(books.record, key)
        if line is None:
            return "Material stands in the estimate, and on invoices that go by rates."
        found = line.material(books.books.shop)
        counted = ", counted by the takeoff with its waste" if line.of else ""
        price = "" if line.price else self.keyed("  No price is known yet; {open} gives it one.")
        return (
            f"{plain(line.text)} ({line.sort}{counted})\n"
            f"To buy, waste and all: {money(found.cost)}{price}\n"
            f"On the customer's bill, markup and all: {money(found.amount)}"
        )

    def add(self, books: JobBooks, key: str) -> None:
        """Ask for a line of material."""
        self._ask(books, None)

    def change(self, books: JobBooks, key: str) -> None:
        """Ask for other values of the line under the cursor."""
        if (line := _line(books.record, key)) is not None:
            self._ask(books, line)

    def _ask(self, books: JobBooks, line: MaterialLine | None) -> None:
        shop = books.books.shop
        waste = "" if line is None or line.waste is None else str(line.waste)
        markup = "" if line is None or line.markup is None else str(line.markup)
        ask_change(
            self.app,
            "Change the material" if line else "Add material",
            (
                Line("text", "What", line.text if line else "", "White oak 1x10, 14 ft"),
                Line("quantity", "How many", str(line.quantity) if line else "", "12, 2.5 or 3/4"),
                Line("price", "Price each", str(line.price) if line else "", "84.00"),
                Line("sort", "Sort", line.sort if line else "materials", "or consumables"),
                Line("waste", "Waste, percent", waste, f"empty: the shop's {shop.waste}"),
                Line("markup", "Markup, percent", markup, f"empty: the shop's {shop.markup}"),
            ),
            lambda record, answer, now: typed_material(
                record,
                answer["text"],
                answer["quantity"],
                answer["price"],
                now,
                row=line.row if line else "",
                sort=answer["sort"].strip().lower(),
                waste=answer["waste"],
                markup=answer["markup"],
            ),
            does="Save" if line else "Add it",
        )

    def takeoff(self, books: JobBooks, key: str) -> None:
        """Take over what the takeoff counts; where no plan of the boards is kept that has
        them all, one is made first. Again: stop planning."""
        planning, job = self.app.screen.query_one(Planning), self.app.job
        kept = kept_takeoff(books.record)
        if planning.busy:
            planning.stop()
        elif kept is not None and not without_board(books.record):
            take_over(self.app, kept)
        elif job is not None:
            try:
                planning.begin(job_task(self.app.desk, job.id, job))
            except CrewdeskError as refused:
                self.app.tell(refused.shown(self.app.shown_step), "wrong")

    def remove(self, books: JobBooks, key: str) -> None:
        """Ask whether the line under the cursor goes."""
        line = _line(books.record, key)
        if line is None:
            return

        def chosen(way: str | None) -> None:
            if way is not None:
                self.app.do(lambda record, now: remove_material(record, line.row, now))

        self.app.push_screen(
            Choose(f"Remove {line.text}?", (("yes", "Remove it"),)), callback=chosen
        )


def take_over(app: Program, found: "Takeoff") -> None:
    """Put what a takeoff counts among the lines of material."""
    shop = app.desk.shop.shop()
    app.do(lambda record, now: into_estimate(record, found, shop, now))


def _percent(part: Decimal, of: str = "") -> str:
    return "in it" if of and not part else f"{part.normalize():f} %"


def _wide(width: int) -> int:
    """The columns of the names: what the figures leave."""
    return min(max(width - 2 - (47 if _roomy(width) else 32), 20), 44)


def _roomy(width: int) -> bool:
    """Whether there is room for the percents beside a name that can be told."""
    return width - 2 - 47 >= 20


def _line(record: Record, key: str) -> MaterialLine | None:
    return next((line for line in record.materials if line.row == key), None)

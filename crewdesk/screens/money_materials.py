"""The material of a job, line by line."""

from crewdesk.job.books.materials import MaterialLine, remove_material, typed_material
from crewdesk.job.record import Record
from crewdesk.paper.letter import money
from crewdesk.paper.plain import plain
from crewdesk.screens.ask import Choose, Line
from crewdesk.screens.ask_change import ask_change
from crewdesk.screens.leaf import Leaf
from crewdesk.screens.lines import Row
from crewdesk.store.books import JobBooks

_NONE = " No material yet.  a adds a line: what, how many, at what price each."


class MaterialsLeaf(Leaf):
    """A line for each thing that is bought."""

    NAME = "Material"

    def heads(self, books: JobBooks, width: int) -> str:
        return f" {'':<34}{'how many':>9}{'each':>11}{'waste':>7}{'markup':>8}"

    def rows(self, books: JobBooks, width: int) -> list[Row]:
        shop = books.books.shop
        rows = []
        for line in books.record.materials:
            found = line.material(shop)
            many = f"{float(line.quantity):,.6g}"
            rows.append(
                Row(
                    (
                        (f" {plain(line.text):<34.34}", "text"),
                        (f"{many:>9}{money(line.price):>11}", "text"),
                        (
                            f"{found.waste.normalize():>5f} %{found.markup.normalize():>6f} %",
                            "muted",
                        ),
                    ),
                    line.row,
                )
            )
        return rows or [Row(((_NONE, "muted"),))]

    def about(self, books: JobBooks, key: str) -> str:
        line = _line(books.record, key)
        if line is None:
            return "Material stands in the estimate, and on invoices that go by rates."
        found = line.material(books.books.shop)
        return (
            f"{plain(line.text)} ({line.sort})\nTo buy, waste and all: {money(found.cost)}\n"
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


def _line(record: Record, key: str) -> MaterialLine | None:
    return next((line for line in record.materials if line.row == key), None)

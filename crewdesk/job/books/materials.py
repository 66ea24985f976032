"""The material of a job, line by line: what, how much, at what price each."""

from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from fractions import Fraction
from typing import TYPE_CHECKING, Literal

from crewdesk.job.books.amounts import read_amount, read_part, read_quantity
from crewdesk.job.change import ABSENT, Change, Doc, edit
from crewdesk.job.refused import Refused
from crewdesk.job.words import LONGEST_LINE, brief, checked_line
from crewdesk.job.written import read_plainly
from crewdesk.trade.books.estimate import Material
from crewdesk.trade.books.money import MOST, read_money, read_percent

if TYPE_CHECKING:
    from crewdesk.job.books.shop import Shop
    from crewdesk.job.record import Record

SORTS = ("materials", "consumables")
TAKEOFF: Literal["takeoff"] = "takeoff"


@dataclass(frozen=True)
class MaterialLine:
    """So much of a thing; `waste` and `markup` in percent, None where the shop's count.

    A line `of` a takeoff is put in anew with it; its waste is in its quantity.
    """

    row: str
    text: str
    quantity: Fraction
    price: Decimal
    sort: Literal["materials", "consumables"] = "materials"
    waste: Decimal | None = None
    markup: Decimal | None = None
    of: Literal["", "takeoff"] = ""

    def material(self, shop: "Shop") -> Material:
        """As the estimate takes it."""
        return Material(
            self.text,
            self.quantity,
            self.price,
            self.sort,
            shop.waste if self.waste is None else self.waste,
            shop.markup if self.markup is None else self.markup,
        )

    @staticmethod
    def from_doc(row: str, doc: Doc) -> "MaterialLine":
        """The line as it stands in the record; raises `Refused`."""
        with read_plainly(f"Material {row} of the record", "material is"):
            text, sort = _text(doc["text"]), doc.get("sort", "materials")
            if sort not in SORTS:
                raise Refused(f"Material is of the sort {' or '.join(SORTS)}, not {brief(sort)}.")
            return MaterialLine(
                row,
                text,
                read_quantity(doc["quantity"], text),
                read_amount(doc["price"], f"price of {text}"),
                sort,
                read_part(doc["waste"], "waste") if "waste" in doc else None,
                read_part(doc["markup"], "markup") if "markup" in doc else None,
                _of(doc.get("of", "")),
            )


def typed_material(
    record: "Record",
    text: str,
    quantity: str,
    price: str,
    now: datetime,
    *,
    row: str = "",
    sort: str = "materials",
    waste: str = "",
    markup: str = "",
) -> Change:
    """The change that adds a line of material as typed, or changes the line `row`.

    `waste` and `markup` left empty are the shop's. Raises `Refused` or `Refusal`.
    """
    text = _text(text)
    many, each = read_quantity(quantity.strip(), text), read_money(price)
    if many * Fraction(each) > MOST:
        raise Refused(f"So much {text} is more than any job here costs; the most is {MOST:,}.")
    doc: Doc = {"text": text, "quantity": str(many), "price": str(each), "sort": sort}
    if waste.strip():
        doc["waste"] = str(read_percent(waste, "waste"))
    if markup.strip():
        doc["markup"] = str(read_percent(markup, "markup"))
    lines = record.tables.get("materials", {})
    if row and row not in lines:
        raise Refused("There is no such line of material; nothing was changed.")
    if of := lines.get(row, {}).get("of"):
        doc["of"] = of
    at = ("materials", row or record.new_row("materials"))
    what = f"{'changed' if row else 'added'} {doc['text']}"
    return Change(what, (edit(record.tables, at, doc),), now)


def remove_material(record: "Record", row: str, now: datetime) -> Change:
    """The change that takes a line of material out."""
    line = record.view("materials", row, MaterialLine.from_doc)
    gone = edit(record.tables, ("materials", row), ABSENT)
    return Change(f"removed {line.text}", (gone,), now)


def _of(value: object) -> Literal["", "takeoff"]:
    if value == "" or value == TAKEOFF:
        return value
    raise Refused(f"Material is of a {TAKEOFF} or of nothing, not of {brief(value)}.")


def _text(text: object) -> str:
    found = checked_line(text, "name of a material", most=LONGEST_LINE)
    if not found:
        raise Refused("Say what the material is; nothing was changed.")
    return found

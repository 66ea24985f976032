"""A line of a job's material: what, how much, at what price each."""

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import TYPE_CHECKING, Literal

from crewdesk.errors import NotAllowed
from crewdesk.job.books.amounts import read_amount, read_part, read_quantity
from crewdesk.job.change import Doc
from crewdesk.job.words import LONGEST_LINE, brief, checked_line
from crewdesk.job.written import read_plainly
from crewdesk.trade.books.estimate import Material

if TYPE_CHECKING:
    from crewdesk.job.books.shop import Shop


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
        """The line as it stands in the record; raises `NotAllowed`."""
        with read_plainly(f"Material {row} of the record", "material is"):
            text, sort = material_name(doc["text"]), doc.get("sort", "materials")
            if sort not in SORTS:
                raise NotAllowed(
                    f"Material is of the sort {' or '.join(SORTS)}, not {brief(sort)}."
                )
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


def _of(value: object) -> Literal["", "takeoff"]:
    if value == "" or value == TAKEOFF:
        return value
    raise NotAllowed(f"Material is of a {TAKEOFF} or of nothing, not of {brief(value)}.")


def material_name(text: object) -> str:
    """What the material is, in one line; raises `NotAllowed`."""
    found = checked_line(text, "name of a material", most=LONGEST_LINE)
    if not found:
        raise NotAllowed("Say what the material is; nothing was changed.")
    return found

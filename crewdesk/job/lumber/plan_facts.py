"""What a kept plan has beside its boards."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction

from crewdesk.errors import NotAllowed
from crewdesk.job.books.amounts import read_amount, read_date
from crewdesk.job.change import Doc
from crewdesk.job.lumber.cutting_rules import SAWS
from crewdesk.job.readings import fraction
from crewdesk.job.words import brief
from crewdesk.job.written import read_plainly


@dataclass(frozen=True)
class Matching:
    """What asking for one board per beam costs, and what it could at least and at most be."""

    price: Decimal
    at_least: Decimal
    at_most: Decimal


@dataclass(frozen=True)
class KeptPlan:
    """What a kept plan has beside its boards; `closed` is the day on which its leftovers
    went into the stock, `saws` the job's rule of that name when it was made, "" where that
    is not known."""

    bound: Decimal
    first_fit: Decimal | None = None
    first_fit_waste: Fraction | None = None
    matching: Matching | None = None
    closed: date | None = None
    saws: str = ""

    @staticmethod
    def from_doc(doc: Doc) -> "KeptPlan":
        """The plan as it stands in the job; raises `NotAllowed`."""
        with read_plainly("The plan of boards", "a plan is"):
            match = doc.get("matching")
            return KeptPlan(
                read_amount(doc["bound"], "bound of a plan"),
                read_amount(doc["first_fit"], "cost by eye") if "first_fit" in doc else None,
                fraction(doc["first_fit_waste"], "waste") if "first_fit_waste" in doc else None,
                Matching(*(read_amount(one, "price of matching") for one in match))
                if match
                else None,
                read_date(doc["closed"], "plan") if "closed" in doc else None,
                _saws(doc.get("saws", "")),
            )


def _saws(value: object) -> str:
    if value not in ("", *SAWS):
        raise NotAllowed(
            f"A plan's first cut is {', '.join(SAWS)}, not {brief(value)}; plan the boards again."
        )
    return str(value)

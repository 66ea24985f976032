"""A customer of the shop: where they are, and on which terms they pay."""

from dataclasses import dataclass

from crewdesk.errors import NotAllowed
from crewdesk.job.change import Doc
from crewdesk.job.words import LONGEST_NAME, checked_line, checked_name, checked_note
from crewdesk.trade.books.money import LONGEST_TERMS


@dataclass(frozen=True)
class Customer:
    """`terms` is the days to pay in, None where the shop's count."""

    row: str
    name: str
    address: str = ""
    phone: str = ""
    email: str = ""
    terms: int | None = None

    @staticmethod
    def from_doc(row: str, doc: Doc) -> "Customer":
        """The customer as it stands in the record; raises `NotAllowed`."""
        if "name" not in doc:
            raise NotAllowed(f"Customer {row} of the record has no name.")
        return Customer(
            row,
            checked_name(doc["name"], "customer"),
            checked_note(doc.get("address", ""), "address", most=400),
            checked_line(doc.get("phone", ""), "phone number", most=LONGEST_NAME),
            checked_line(doc.get("email", ""), "e-mail address", most=LONGEST_NAME),
            days_to_pay(doc["terms"]) if "terms" in doc else None,
        )


def days_to_pay(days: object) -> int:
    """The days of a customer's terms; raises `NotAllowed`."""
    if type(days) is not int or not 0 <= days <= LONGEST_TERMS:
        raise NotAllowed(f"A customer's terms are from 0 to {LONGEST_TERMS} days, as 30.")
    return days

"""A change order: extra work with its own price or rate, and who took it on, and when."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from crewdesk.errors import NotAllowed
from crewdesk.job.books.amounts import read_amount, read_date
from crewdesk.job.change import Doc
from crewdesk.job.words import LONGEST_NAME, checked_line
from crewdesk.job.written import read_plainly
from crewdesk.trade.books.invoice_lines import ChangeOrder


@dataclass(frozen=True)
class Order:
    """Extra work: a fixed `price`, or `hour` for each hour; never part of the base price."""

    row: str
    text: str
    price: Decimal | None
    hour: Decimal | None
    accepted_by: str = ""
    accepted_on: date | None = None

    @property
    def taken(self) -> bool:
        """Whether it was accepted."""
        return bool(self.accepted_by)

    @property
    def order(self) -> ChangeOrder:
        """As an invoice's line takes it."""
        return ChangeOrder(
            self.row, self.text, self.price, self.hour, self.accepted_by, self.accepted_on
        )

    @staticmethod
    def from_doc(row: str, doc: Doc) -> "Order":
        """The change order as it stands in the record; raises `NotAllowed`."""
        with read_plainly(f"Change order {row} of the record", "one is"):
            found = Order(
                row,
                order_text(doc["text"]),
                read_amount(doc["price"], "price of a change order") if "price" in doc else None,
                read_amount(doc["hour"], "rate of a change order") if "hour" in doc else None,
                checked_line(doc.get("accepted_by", ""), "name of who accepts", most=LONGEST_NAME),
                read_date(doc["accepted_on"], "change order") if "accepted_on" in doc else None,
            )
        if (found.price is None) == (found.hour is None):
            raise NotAllowed(f"The change order {found.text} needs a price or an hourly rate.")
        if bool(found.accepted_by) != (found.accepted_on is not None):
            raise NotAllowed(f"The change order {found.text} was accepted by somebody on a day.")
        return found


def order_text(text: object) -> str:
    """What the extra work is, in one line; raises `NotAllowed`."""
    found = checked_line(text, "text of a change order")
    if not found:
        raise NotAllowed("Say what the change order is for; nothing was changed.")
    return found

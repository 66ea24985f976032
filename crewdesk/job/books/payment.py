"""A payment, as the shop's record keeps it."""

from crewdesk.job.books.amounts import read_amount, read_date
from crewdesk.job.change import Doc
from crewdesk.job.words import LONGEST_NAME, checked_line
from crewdesk.job.written import read_plainly
from crewdesk.trade.books.accounts import Payment


def payment_from_doc(row: str, doc: Doc) -> Payment:
    """A payment as it stands in the shop's record; raises `NotAllowed`.

    One that applies credit has `from` and `to` in place of `invoice`.
    """
    with read_plainly(f"Payment {row} of the shop", "one is"):
        source = doc.get("from")
        number = doc["invoice"] if source is None else doc["to"]
        if type(number) is not int or type(source or 0) is not int:
            raise TypeError
        if not isinstance(doc.get("refund", False), bool):
            raise TypeError
        return Payment(
            number,
            read_amount(doc["amount"], "payment"),
            read_date(doc["on"], "payment"),
            doc.get("refund", False),
            payment_note(doc.get("note", "")),
            source,
        )


def payment_note(text: str) -> str:
    """The note of a payment, in one line; raises `NotAllowed`."""
    return checked_line(text, "note of a payment", most=LONGEST_NAME)

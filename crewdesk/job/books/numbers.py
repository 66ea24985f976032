"""Which document a number means. Where two machines gave the same number, one of the documents
gets another; its paper keeps the old one. So pages hold a document's id, and a person who types a
number that is on two papers is asked whose it is."""

from collections.abc import Iterable
from hashlib import sha256
from json import dumps

from crewdesk.errors import NotAllowed
from crewdesk.job.books.shop_record import ShopRecord, as_issued
from crewdesk.job.books.trail import HeadedDocument
from crewdesk.job.change import Doc
from crewdesk.job.words import quoted
from crewdesk.trade.books.invoice import Credit, Issued

_NOBODY = "nobody named"


def document_id(books: ShopRecord, number: int) -> str:
    """Return what a document is known by however it is numbered: the number that it was issued
    with, and a hash of what doesn't change of it. Raises `NotAllowed` where there is none."""
    doc = _doc(books, number)
    if doc is None:
        raise NotAllowed(f"There is no document {number}.")
    return _id(books, doc)


def document_with_id(books: ShopRecord, id_: str) -> HeadedDocument:
    """Return the document of that id; raises `NotAllowed`."""
    first = id_.partition("-")[0]
    for doc in books.tables.get("documents", {}).values():
        if str(_first(doc)) == first and _id(books, doc) == id_:
            return books.headed(doc["number"])
    raise NotAllowed("This document isn't in the books any more.")


def check_number(books: ShopRecord, id_: str, shown: int) -> int:
    """Return the number of the document of that id, which is the one that was shown; raises
    `NotAllowed` where it has another one now."""
    document = document_with_id(books, id_).document
    if document.number != shown:
        raise NotAllowed(
            f"{_kind(books, document.number)} {shown} of {_job_of(books, document.number)} is "
            f"number {document.number} now: it came second. Look again, then do it."
        )
    return shown


def invoice_meant(books: ShopRecord, number: int, whose: str = "") -> int:
    """Return the number that the invoice has now which was sent with the number typed. `whose` is
    the beginning of its customer's or job's name.

    Raises `NotAllowed` where more than one paper has the number and `whose` doesn't say which, and
    where none of them is theirs.
    """
    every = [
        one
        for one in books.documents
        if isinstance(one.document, Issued) and number in (one.document.number, *one.was)
    ]
    found = _theirs(every, whose) if whose.strip() else every
    if every and not found:
        raise NotAllowed(f"Invoice {number} is for {_either(every)}, not {quoted(whose)}.")
    if len(found) > 1:
        raise NotAllowed(
            f"Number {number} is on more than one paper: {_papers(found)}. "
            "Add --customer with the name of the customer or the job."
        )
    return found[0].document.number if found else number


def invoice_text(books: ShopRecord, number: int) -> str:
    """Return an invoice in words, with whose it is: "invoice 1 (Ada Quill, Hill house)"."""
    headed = books.headed(number)
    sent = f", first sent as number {headed.was[0]}" if headed.was else ""
    return f"invoice {number} ({_who(headed)}{sent})"


def renumbered_documents(books: ShopRecord) -> tuple[HeadedDocument, ...]:
    """Return the documents whose papers were sent with another number."""
    return tuple(one for one in books.documents if one.was)


def renumbered_text(books: ShopRecord, headed: HeadedDocument) -> str:
    """Return a document that was sent with another number in words, on one line."""
    document = headed.document
    was = " and ".join(f"{one}" for one in dict.fromkeys(headed.was))
    of = document.of if isinstance(document, Credit) else document.number
    kind = _kind(books, document.number)
    return f"{kind} {document.number}, {_who(books.headed(of))}: first sent as number {was}"


def numbers_changed(before: ShopRecord, now: ShopRecord) -> list[str]:
    """Return a sentence for each document that has another number now than before."""
    told = []
    for doc in before.tables.get("documents", {}).values():
        try:
            document = document_with_id(now, _id(before, doc)).document
        except NotAllowed:
            continue
        if document.number != doc["number"]:
            kind = _kind(now, document.number)
            moved = "" if isinstance(document, Credit) else "Its payments and credits moved too. "
            told.append(
                f"{kind} {doc['number']} of {_job_of(now, document.number)} is number "
                f"{document.number} now, because another machine used number {doc['number']} "
                f"first. {moved}Send the new paper, which shows both numbers."
            )
    return told


def _id(books: ShopRecord, doc: Doc) -> str:
    kept = as_issued(doc)
    if "of" in kept:  # a credit is known by its invoice, not by the invoice's number
        of = _doc(books, kept["of"])
        kept["of"] = "" if of is None else _id(books, of)
    return f"{_first(doc)}-{sha256(dumps(kept, sort_keys=True).encode()).hexdigest()}"


def _first(doc: Doc) -> int:
    """The number that a document was issued with."""
    return int(next(iter(doc.get("was", ())), doc["number"]))


def _doc(books: ShopRecord, number: int) -> Doc | None:
    rows = books.tables.get("documents", {})
    likely = rows.get(str(number - books.shop.first_number + 1))
    if likely is not None and likely["number"] == number:
        return likely
    return next((one for one in rows.values() if one["number"] == number), None)


def _kind(books: ShopRecord, number: int) -> str:
    document = books.headed(number).document
    return document.kind.capitalize() if isinstance(document, Credit) else "Invoice"


def _who(headed: HeadedDocument) -> str:
    """The customer and the job of an invoice."""
    assert isinstance(headed.document, Issued)
    customer = headed.document.draft.customer or _NOBODY
    return f"{customer}, {headed.head.job_name}" if headed.head.job_name else customer


def _job_of(books: ShopRecord, number: int) -> str:
    """The name of a document's job; where there is none, its customer."""
    headed = books.headed(number)
    if isinstance(headed.document, Credit):
        headed = books.headed(headed.document.of)
    assert isinstance(headed.document, Issued)
    return headed.head.job_name or headed.document.draft.customer or _NOBODY


def _theirs(every: Iterable[HeadedDocument], whose: str) -> list[HeadedDocument]:
    """The invoices whose customer or job is named so; where none is, whose name begins so."""
    wanted = " ".join(whose.split()).casefold()
    named = []
    for one in every:
        assert isinstance(one.document, Issued)
        draft = one.document.draft
        named.append((one, [n.casefold() for n in (draft.customer, one.head.job_name, draft.job)]))
    exact = [one for one, names in named if wanted in names]
    return exact or [one for one, names in named if any(n.startswith(wanted) for n in names)]


def _papers(found: Iterable[HeadedDocument]) -> str:
    return " and ".join(
        f"invoice {one.document.number}{' now' if one.was else ''} ({_who(one)})" for one in found
    )


def _either(found: Iterable[HeadedDocument]) -> str:
    return " or ".join(_who(one) for one in found)

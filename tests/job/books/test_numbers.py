"""Which document a number means, where another machine gave the same number."""

from datetime import timedelta
from decimal import Decimal

import pytest

from crewdesk.errors import NotAllowed
from crewdesk.job.books.documents import (
    check_number,
    credit_invoice,
    document_id,
    document_with_id,
    invoice_meant,
    invoice_text,
    numbers_changed,
    void_invoice,
)
from tests.two_papers import bring, invoiced, two_papers

ZIMMER = "Zimmer Builders, Birch Row, first sent as number 1"


@pytest.fixture
def two(tmp_path, now):
    """Ada's and Bo's machine."""
    return two_papers(tmp_path, now)


def test_a_document_keeps_its_id_where_its_number_changes(two, now) -> None:
    ada, bo = two
    for one in two:  # credits of the same wording, amount and number, on different invoices
        one.shop.make(
            lambda books, at: credit_invoice(
                books, 1, "agreed", now.date(), at, amounts=(Decimal(5),)
            ),
            now + timedelta(minutes=2),
        )
    before = bo.shop.record()
    ids = [document_id(before, number) for number in (1, 2)]
    bring(ada, bo)
    books = bo.shop.record()
    assert [document_with_id(books, one).document.number for one in ids] == [3, 4]
    every = {document_id(books, one.number) for one in books.trail}
    assert len(every) == 4
    assert every > set(ids)
    assert [document_id(ada.shop.record(), n) for n in (1, 2)] == [
        document_id(books, n) for n in (1, 2)
    ]
    assert check_number(books, ids[0], 3) == 3
    with pytest.raises(NotAllowed) as refused:
        check_number(books, ids[0], 1)
    assert str(refused.value) == (
        "Invoice 1 of Birch Row is number 3 now, because another computer used it too. "
        "Look again, then repeat this."
    )
    with pytest.raises(NotAllowed, match="Credit 2 of Birch Row is number 4 now"):
        check_number(books, ids[1], 2)
    with pytest.raises(NotAllowed, match="isn't in the books"):
        document_with_id(ada.shop.record(), ids[0])


def test_a_number_on_two_papers_is_asked_about(two, now) -> None:
    ada, bo = two
    bring(ada, bo)
    books = bo.shop.record()
    assert invoice_text(books, 2) == f"invoice 2 ({ZIMMER})"
    with pytest.raises(NotAllowed) as refused:
        invoice_meant(books, 1)
    assert str(refused.value) == (
        "More than one document has number 1: invoice 1 (Quillfeather Homes, Tamarack Bend) and "
        "invoice 2 now (Zimmer Builders, Birch Row). Add --customer with the name of the "
        "customer or the job."
    )
    for whose, number in (("zimmer", 2), (" Birch  row", 2), ("quill", 1), ("tamarack-bend", 1)):
        assert invoice_meant(books, 1, whose) == number
    assert invoice_meant(books, 2) == 2
    with pytest.raises(NotAllowed, match=r"Invoice 1 is for Quillfeather .* not Ada Quill"):
        invoice_meant(books, 1, "Ada Quill")
    assert invoice_meant(books, 7) == 7  # what isn't there is refused by what asks for it


def test_one_customer_with_both_papers_is_told_apart_by_the_job(two, now) -> None:
    ada, bo = two
    for one, job in ((ada, "Elm Court"), (bo, "Ash Court")):
        invoiced(one, "Rowan Estates", job, now + timedelta(minutes=3))
    bring(ada, bo)
    books = bo.shop.record()
    with pytest.raises(NotAllowed, match="More than one document has number 2"):
        invoice_meant(books, 2, "Rowan")
    found = {job: invoice_meant(books, 2, job) for job in ("elm", "ash")}
    jobs = {job: books.headed(number).head.job_name for job, number in found.items()}
    assert jobs == {"elm": "Elm Court", "ash": "Ash Court"}


def test_numbers_that_changed_are_listed_for_whose_they_are(two, now) -> None:
    ada, bo = two
    bo.shop.make(
        lambda books, at: void_invoice(books, 1, "sent twice", now.date(), at),
        now + timedelta(minutes=2),
    )
    before = {one.machine: one.shop.record() for one in two}
    bring(ada, bo)
    bring(bo, ada)
    assert numbers_changed(before["bo"], bo.shop.record()) == [
        "Invoice 1 of Birch Row is number 2 now, because another computer used number 1 "
        "too. Its payments and credits moved too. Send the new document, which shows "
        "both numbers.",
        "Void 2 of Birch Row is number 3 now, because another computer used number 2 "
        "too. Send the new document, which shows both numbers.",
    ]
    assert numbers_changed(before["ada"], ada.shop.record()) == []

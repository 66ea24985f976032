"""Letters to customers: the same figures as text and as PDF, on one page where they fit."""

import io
import re
from dataclasses import replace
from datetime import date, datetime
from decimal import Decimal
from pathlib import Path

import pytest
from pypdf import PdfReader

from crewdesk.job.books.documents import credit_invoice, issue_invoice, void_invoice
from crewdesk.job.books.ledger import HeadedDocument, Letterhead
from crewdesk.job.books.payments import pay
from crewdesk.job.books.shop_record import ShopRecord
from crewdesk.paper.documents.invoice import invoice_letter
from crewdesk.paper.documents.letter import Letter, Part, Row, letter_lines, letter_pdf, money
from crewdesk.paper.sheet import csv_text
from crewdesk.trade.books.invoice import Draft
from crewdesk.trade.books.invoice_lines import ExtraLine, Line

D = Decimal
NOW = datetime.fromisoformat("2026-03-09T17:00:00-06:00")
DAY = date(2026, 3, 9)
HEAD = Letterhead(
    "Larkspur Beam & Trim",
    "12 Foundry Lane\nPine Hollow",
    "C-11873",
    "555 0142",
    "wren@larkspur.example",
    "Tamarack Bend",
    "lot 14",
    "4 Mill Road",
    "Checks to Larkspur Beam & Trim.",
)
DRAFT = Draft(
    "progress",
    "tamarack-bend",
    "Quillfeather Homes",
    (
        Line("fixed", "Rip, 93% done", D("1197.11")),
        Line("material", "White oak", D("540.25"), taxed=True),
        Line("less", "Less billed before", D("-200.00")),
    ),
    (ExtraLine("1", "Wrap the header", D("240.00")),),
    D("7.5"),
)


def books() -> ShopRecord:
    record = ShopRecord({})
    record.make(issue_invoice(record, DRAFT, HEAD, DAY, NOW))
    return record


def letter(record: ShopRecord, number: int = 1, today: date = DAY) -> Letter:
    return invoice_letter(record.headed(number), record, today, preview=False)


def read(data: bytes) -> list[str]:
    return [page.extract_text() for page in PdfReader(io.BytesIO(data)).pages]


def test_the_pdf_says_what_the_text_says_on_one_page() -> None:
    made = letter(books())
    (page,) = read(letter_pdf(made, NOW))
    text = "\n".join(letter_lines(made))
    for said in (
        "$1,817.88 due Apr 8, 2026",
        "Larkspur Beam & Trim", "12 Foundry Lane", "License C-11873", "Invoice 1", "Mar 9, 2026",
        "Apr 8, 2026", "Quillfeather Homes", "4 Mill Road", "Tamarack Bend", "Rip, 93% done",
        "$1,197.11", "-$200.00", "Wrap the header", "$1,777.36", "Tax, 7.5% on $540.25", "$40.52",
        "$1,817.88", "Checks to Larkspur Beam & Trim.",
    ):  # fmt: skip
        assert said in page
        assert said in text
    assert b"/BaseFont /Helvetica" in letter_pdf(made, NOW)


def test_paid_credited_and_overdue_stand_on_it() -> None:
    record = books()
    record.make(pay(record, 1, D("500.00"), DAY, NOW))
    amounts = (D("0.00"), D("0.00"), D("0.00"), D("40.00"))
    record.make(credit_invoice(record, 1, "a day less", DAY, NOW, amounts=amounts))
    text = "\n".join(letter_lines(letter(record, today=date(2026, 4, 18))))
    assert "Paid" in text
    assert "$1,277.88" in text
    assert "10 days overdue" in text
    # 1,817.88 less 500.00 and 40.00, which are untaxed
    assert "$1,277.88 due Apr 8, 2026" in text
    credit = "\n".join(letter_lines(letter(record, 2)))
    assert credit.count("Credit memo 2") == 1
    assert "Balance due" in text
    assert "-$40.00" in credit
    assert "Reason: a day less" in credit


def test_paid_too_much_is_told_as_owed_back() -> None:
    record = books()
    record.make(pay(record, 1, D("1900.00"), DAY, NOW))
    text = "\n".join(letter_lines(letter(record)))
    # 1,900.00 less 1,817.88
    assert "$82.12 more than this invoice; it is your credit balance." in text
    assert "Paid in full" not in text
    assert " due " not in text


def test_a_void_invoice_says_so_and_its_void_tells_the_tax() -> None:
    record = books()
    record.make(void_invoice(record, 1, "wrong house", DAY, NOW))
    made = letter(record)
    (page,) = read(letter_pdf(made, NOW))
    text = "\n".join(letter_lines(made))
    for said in ("VOID", "Voided by number 2 of Mar 9, 2026"):
        assert said in page
        assert said in text
    taken = "\n".join(letter_lines(letter(record, 2)))
    assert "Tax, 7.5% on -$540.25" in taken
    assert "-$1,777.36" in taken
    assert "VOID" not in taken


def test_as_text_it_fits_into_any_width() -> None:
    between = Row("Between the two of", "$4,144.63 and $5,106.07")
    made = letter(books())
    made = replace(made, signing=True, totals=(*made.totals, between))
    for wide in (34, 72, 110):
        lines = letter_lines(made, wide)
        assert max(map(len, lines)) == wide
        assert sum(line.endswith("$1,817.88") and len(line) == wide for line in lines) == 1
        assert "Quillfeather" in "".join(lines)


def test_a_long_letter_goes_on_over_pages_and_loses_no_line() -> None:
    rows = tuple(Row(f"Line number {n}, " + "oak " * (n % 30), f"${n}.00") for n in range(1, 120))
    made = replace(letter(books()), parts=(Part("Work", rows),))
    pages = read(letter_pdf(made, NOW))
    assert len(pages) > 2
    for n in range(1, 120):
        assert sum(f"Line number {n}," in page for page in pages) == 1
    assert "page 2" in pages[1]
    assert "page" not in pages[0]


def test_rows_draw_together_where_that_saves_a_page() -> None:
    rows = tuple(Row(f"Line number {n}", "$1.00") for n in range(24))
    made = replace(letter(books()), parts=(Part("Work", rows),))
    assert len(read(letter_pdf(made, NOW))) == 1
    assert len(read(letter_pdf(replace(made, parts=made.parts * 3), NOW))) > 1


def test_without_a_font_letters_are_told_by_their_like(tmp_path: Path) -> None:
    named = replace(letter(books()), head=HEAD._replace(name="\u0141\u0105ka \u2013 \u6881"))
    (page,) = read(letter_pdf(named, NOW, fonts=tmp_path))
    assert "Laka - ?" in page
    # What typesetters put in is told by its like; nothing is refused.
    typeset = replace(letter(books()), head=HEAD._replace(name="Larks \u2014 \u201cBeams\u201d"))
    (page,) = read(letter_pdf(typeset, NOW))
    assert 'Larks - "Beams"' in page
    # An accent that is written as a letter of its own makes one letter with the one before it.
    parted = replace(letter(books()), head=HEAD._replace(name="Cafe\u0301 Beams"))
    (page,) = read(letter_pdf(parted, NOW, fonts=tmp_path))
    assert "Caf\u00e9 Beams" in page


def test_other_letters_are_put_into_the_file_out_of_the_shipped_font() -> None:
    named = replace(letter(books()), head=HEAD._replace(name="\u0141\u0105ka \u6881"))
    data = letter_pdf(named, NOW, paper="A4")
    (page,) = read(data)
    assert "\u0141\u0105ka ?" in page
    assert len(data) < 120_000
    (sheet,) = PdfReader(io.BytesIO(data)).pages
    # ISO 216: A4 is 210 x 297 mm.
    assert [float(one) / 72 * 25.4 for one in sheet.mediabox[2:]] == pytest.approx(
        [210, 297], abs=0.1
    )


def test_nothing_in_a_text_drives_the_terminal() -> None:
    hostile = replace(letter(books()), customer="\x1b[31mAda\u202e", notes=("a\x07b",))
    assert all(line.isprintable() for line in letter_lines(hostile))
    assert read(letter_pdf(hostile, NOW))


def test_an_empty_shop_and_an_issued_document_read_back() -> None:
    record = ShopRecord({})
    bare = replace(DRAFT, customer="", lines=DRAFT.lines[:1], extras=(), tax_rate=D(0), terms=0)
    record.make(issue_invoice(record, bare, Letterhead(), DAY, NOW))
    lines = letter_lines(letter(record))
    assert lines[0] == "(no business name is set)"
    assert "Terms:        due on receipt" in lines
    assert not any("Tax" in line for line in lines)
    doc = record.tables["documents"]["1"]
    assert HeadedDocument.from_doc("1", doc) == record.headed(1)


def test_money_is_shown_with_its_sign_first() -> None:
    assert [money(D(m)) for m in ("0.00", "1234.50", "-40.00")] == ["$0.00", "$1,234.50", "-$40.00"]


def test_csv_leaves_numbers_alone_and_disarms_texts() -> None:
    text = csv_text(("a", "b"), [(D("-1.50"), "-1.50"), (None, '=1,"2"'), (3, "plain")])
    assert text == 'a,b\r\n-1.50,\'-1.50\r\n,"\'=1,""2"""\r\n3,plain\r\n'


def test_percents_are_whole_and_said_to_be_rounded() -> None:
    lines = (Line("fixed", "Rip, 85% of $210.06", D("178.88")),)
    record = ShopRecord({})
    record.make(issue_invoice(record, replace(DRAFT, lines=lines, extras=()), HEAD, DAY, NOW))
    text = "\n".join(letter_lines(letter(record)))
    assert "Rip, 85% of $210.06" in text
    assert "Percents are rounded to whole ones; amounts are exact." in text
    assert "Percents are" not in "\n".join(letter_lines(letter(books())))
    assert not re.search(r"\d{4}-\d\d-\d\d| %", text)

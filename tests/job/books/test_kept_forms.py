"""Forms that the shop keeps by name: its own before the usual ones."""

from fractions import Fraction as Fr

import pytest

from crewdesk.job.books.shop_lists import (
    MOST_KEPT,
    USUAL_FORMS,
    keep_form,
    known_forms,
    remove_form,
)
from crewdesk.job.books.shop_record import ShopRecord
from crewdesk.job.books.shop_rows import KeptForm
from crewdesk.trade.cuts.section import Section

TALL = Section(Fr(6), Fr(12), side_thickness=Fr(5, 8))


@pytest.fixture
def books() -> ShopRecord:
    return ShopRecord({})


def test_a_shop_s_own_forms_come_first_and_replace_the_usual_of_their_name(books, now) -> None:
    assert known_forms(books) == USUAL_FORMS
    books.make(keep_form(books, " Tall  one", "usual", TALL, now))
    books.make(keep_form(books, "small", "mitred", TALL, now))
    known = known_forms(books)
    assert [one.name for one in known[:2]] == ["small", "Tall one"]
    assert (known[1].section, known[0].form.id) == (TALL, "mitred")
    assert "Small" not in [one.name for one in known]
    again = keep_form(books, "Tall One", "usual", TALL._replace(reveal=Fr(1, 8)), now)
    books.make(again)
    assert len(books.tables["forms"]) == 2
    books.make(remove_form(books, "1", now))
    assert [one.name for one in known_forms(books)][:2] == ["small", "Usual"]


def test_what_is_no_form_is_refused(books, now, refusing) -> None:
    books.make(keep_form(books, "Tall", "usual", TALL, now))
    assert "saved like that already" in refusing(keep_form, books, "Tall", "usual", TALL, now)
    assert "needs a name" in refusing(keep_form, books, " ", "usual", TALL, now)
    assert "A beam type can't be 'round'" in refusing(keep_form, books, "Odd", "round", TALL, now)
    low = TALL._replace(height=Fr(3, 2))
    assert "no room for a top" in refusing(keep_form, books, "Box", "box", low, now)
    assert "no row 7" in refusing(remove_form, books, "7", now)
    assert "has no section" in refusing(KeptForm.from_doc, "1", {"name": "Bare"})
    odd = {"name": "Odd", "form": [], "section": {}}
    assert "isn't written as a form must be" in refusing(KeptForm.from_doc, "1", odd)
    for number in range(MOST_KEPT - 1):
        books.make(keep_form(books, f"Form {number}", "usual", TALL, now))
    assert f"up to {MOST_KEPT} beam types" in refusing(keep_form, books, "More", "usual", TALL, now)

"""What is true of the shop, each value as it is typed and as it is kept."""

import json
from datetime import datetime
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crewdesk.errors import CrewdeskError
from crewdesk.job.books.shop import Shop, shown
from crewdesk.job.books.shop_lists import customer_note, keep_customer
from crewdesk.job.books.shop_record import ShopRecord, change_shop, changed_values
from crewdesk.trade.books.money import Rate
from crewdesk.trade.books.rounding import Rule
from crewdesk.trade.cuts.shop_machine import USUAL_MACHINE, ShopMachine, scriber_for

D = Decimal
NOW = datetime.fromisoformat("2026-03-02T07:30:00-05:00")
TYPED = {
    "hour": ("$85/h", D("85.00")),
    "tax": ("7.5 %", D("7.5")),
    "taxed": ("extras labour", ("labour", "extras")),
    "terms": ("14", 14),
    "rounding": ("quarter up per day", Rule(15, "up", "day")),
    "round_to": ("5", D("5.00")),
    "round_up": ("Yes", True),
    "stage_rates": ({"tape": "2/ft"}, {"tape": Rate(D("2.00"), "foot")}),
    "address": ("12 Foundry Lane\nPine Hollow", "12 Foundry Lane\nPine Hollow"),
    "first_number": ("100", 100),
    "times": (
        {"sloped": "140", "8 x 10-1/2 in": "115 %"},
        {"sloped": D(140), "8 x 10 1/2": D(115)},
    ),
}


@pytest.mark.parametrize("key", TYPED)
def test_a_value_is_read_as_typed_and_kept_without_loss(key) -> None:
    text, value = TYPED[key]
    record = ShopRecord({})
    record.make(change_shop(record, {key: text}, NOW))
    assert getattr(record.shop, key) == value
    again = ShopRecord(json.loads(json.dumps(record.tables)))
    assert again.shop == record.shop
    assert list(again.tables["shop"]["1"]) == [key]
    # What is shown can be typed, and is then nothing new.
    assert changed_values(record, {key: shown(record.shop, key)}) == {}


def test_a_shop_of_before_reads_as_it_was() -> None:
    doc = {"who": "Ada", "level": "48", "step": "1/16", "theme": "day"}
    record = ShopRecord({"shop": {"1": doc}})
    assert record.shop == Shop(who="Ada", level="48", step="1/16", theme="day")
    record.make(change_shop(record, {"hour": "85"}, NOW))
    assert record.tables["shop"]["1"] == {**doc, "hour": "85.00"}


def test_the_first_change_can_be_undone_and_made_again() -> None:
    record = ShopRecord({})
    change = change_shop(record, {"hour": "85"}, NOW)
    record.make(change)
    record.make(change.taken_back(1, NOW))
    assert record.shop == Shop()
    record.make(change.made_again(1, NOW))
    assert record.shop.hour == 85


@given(
    st.sampled_from(list(Shop.by_key())),
    st.one_of(
        st.none(),
        st.integers(),
        st.booleans(),
        st.text(max_size=20),
        st.lists(st.text(max_size=3), max_size=2),
        st.dictionaries(st.text(max_size=4), st.one_of(st.integers(), st.text(max_size=6))),
        st.sampled_from(["1e9", "-1", "٣", "1/0", "99999999999", "nan", "\x1b", "5 %", "9/h"]),
    ),
)
def test_whatever_is_typed_is_taken_or_refused_in_one_sentence(key, value) -> None:
    record = ShopRecord({})
    try:
        record.make(change_shop(record, {key: value}, NOW))
    except CrewdeskError as no:
        sentence = str(no)
        assert sentence.endswith(".")
        assert "\n" not in sentence
        assert record.tables == {}
    else:
        assert ShopRecord(json.loads(json.dumps(record.tables))).shop == record.shop


@pytest.mark.parametrize("text", ["0000000019999999999", "9" * 190, "\u0661"])
def test_a_whole_number_is_read_whole(text: str, refusing) -> None:
    for key in ("first_number", "terms"):
        assert "whole number" in refusing(change_shop, ShopRecord({}), {key: text}, NOW)


def test_the_saw_and_the_scribing_tools_are_typed_as_text() -> None:
    books = ShopRecord({})
    assert books.shop.machine == USUAL_MACHINE
    typed = {
        "saw_tilt": "right",
        "miter_tilt": "both",
        "face_down": "show",
        "scribe_cut": "plane",
        "scribe_proud": "1/16",
        "scribe_back_cut": "5",
        "scribers": "tall block = 1-1/2, pencil=1/8",
    }
    books.make(change_shop(books, typed, NOW))
    tools = (("tall block", Fraction(3, 2)), ("pencil", Fraction(1, 8)))
    made = ShopMachine("right", "show", "plane", Fraction(1, 16), Fraction(5), tools, "both")
    assert books.shop.machine == made
    assert scriber_for(made.scribers, Fraction(1)) == tools[0]
    for key, text, why in (
        ("saw_tilt", "up", "left or right"),
        ("miter_tilt", "up", "left, right or both"),
        ("scribe_proud", "1", "too much to leave proud"),
        ("scribers", "block", "name = its offset"),
        ("scribers", "block=1, block=2", "Two tools have the name"),
        ("scribers", "block=0", "more than zero"),
        ("scribe_back_cut", "50", "isn't an angle. Type degrees from 0 to"),
    ):
        with pytest.raises(CrewdeskError, match=why):
            change_shop(books, {key: text}, NOW)


def test_a_customers_terms_may_be_any_text(refusing) -> None:
    for text in ("9" * 5000, "0" * 5000, "soon", "-1"):
        said = refusing(keep_customer, ShopRecord({}), NOW, name="Ada Quill", terms=text)
        assert "terms are from 0" in said


def test_a_job_s_customer_is_told_against_those_of_the_shop_while_typed() -> None:
    books = ShopRecord({})
    assert customer_note(books, "Ada") == ""
    for name in ("Ada Quill", "Birch Homes"):
        books.make(keep_customer(books, NOW, name=name))
    known = "our customers: Ada Quill, Birch Homes."
    assert customer_note(books, " ") == f"Y{known}"
    assert customer_note(books, "Ada") == f"Ada isn't among y{known}"
    assert customer_note(books, "ada  quill ") == ""

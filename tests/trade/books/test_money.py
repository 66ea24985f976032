"""Rounding after K.S.A. 79-3676 (Kansas) and R.I. Gen. Laws 44-18.1-25: the tax is carried to
the third decimal and goes up when that is greater than four. These statutes give no numbers;
the numbered examples are the Wisconsin Department of Revenue's, in the notes to Wis. Admin.
Code Tax 11.32 (5) (a), and Revenu Quebec's, on its page about calculating the taxes."""

from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crewdesk.errors import BadInput
from crewdesk.trade.books.money import (
    Rate,
    Taxable,
    amount,
    cents,
    part_of,
    read_money,
    read_percent,
    read_rate,
    tax,
)

_MONEY = st.decimals(0, 10**6, places=2)


def by_the_statute(exact):
    """Carry to the third decimal (drop the rest); up if that is greater than four."""
    third = int(exact * 1000)
    return Decimal(third // 10 + (1 if third % 10 > 4 else 0)).scaleb(-2)


@given(_MONEY, st.decimals(0, 50, places=3))
def test_tax_is_what_the_statute_says(base, rate):
    assert part_of(base, rate) == by_the_statute(Fraction(base) * Fraction(rate) / 100)


@pytest.mark.parametrize(
    ("computed", "rounded"),
    [
        ("0.0849999", "0.08"),
        ("3.2549", "3.25"),  # Tax 11.32 (5) (a) 1., examples 1 and 2
        ("0.085000", "0.09"),
        ("6.455001", "6.46"),  # Tax 11.32 (5) (a) 2., examples 1 and 2
    ],
)
def test_a_tax_goes_to_the_cent_as_in_wisconsins_examples(computed, rounded):
    assert cents(Decimal(computed)) == Decimal(rounded)


def test_three_items_are_taxed_as_in_wisconsins_example():
    # Tax 11.32 (5) (a) 2., example 3: items of 14.70, 8.30 and 7.10 at 5 % bear 0.74, 0.42
    # and 0.36, which is 1.52 item by item, or 1.51 on the 30.10 of the invoice
    items = [Decimal("14.70"), Decimal("8.30"), Decimal("7.10")]
    assert [part_of(each, Decimal(5)) for each in items] == [
        Decimal("0.74"),
        Decimal("0.42"),
        Decimal("0.36"),
    ]
    lines = [Taxable(each, True) for each in items]
    assert tax(lines, Decimal(5), "line") == Decimal("1.52")
    assert tax(lines, Decimal(5), "invoice") == Decimal("1.51")


def test_a_rate_of_three_decimals_is_applied_as_in_revenu_quebecs_example():
    # a good of 100.00: GST at 5 % is 5.00 and QST at 9.975 % is 9.98, in all 114.98
    assert part_of(Decimal("100.00"), Decimal("5")) == Decimal("5.00")
    assert part_of(Decimal("100.00"), Decimal("9.975")) == Decimal("9.98")


def test_half_a_cent_goes_up():
    assert part_of(Decimal("16.60"), Decimal("7.5")) == Decimal("1.25")  # 1.245


def test_by_item_and_by_invoice_differ_as_the_statute_allows():
    lines = [Taxable(Decimal("10.07"), True)] * 3
    assert tax(lines, Decimal("7.5"), "line") == Decimal("2.28")
    assert tax(lines, Decimal("7.5"), "invoice") == Decimal("2.27")


def test_only_taxed_lines_are_taxed():
    lines = [Taxable(Decimal("100.00"), True), Taxable(Decimal("900.00"), False)]
    for per in ("line", "invoice"):
        assert tax(lines, Decimal("8"), per) == Decimal("8.00")


@given(st.decimals(-(10**6), 10**6, places=5))
def test_cents_are_those_of_decimals_own_half_up(value):
    assert cents(value) == value.quantize(Decimal("0.01"), ROUND_HALF_UP)
    assert str(cents(value))[-3] == "."


def test_an_amount_is_exact_until_the_cent():
    assert amount(Fraction(1, 3), Decimal("85.00")) == Decimal("28.33")
    assert amount(Fraction(4800, 3600), Decimal("85")) == Decimal("113.33")


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("1,250.00", "1250.00"),
        ("$85", "85.00"),
        ("85.5", "85.50"),
        (".50", "0.50"),
        ("$ 1,234,567.89", "1234567.89"),
        ("85 dollars", "85.00"),
        ("0", "0.00"),
        ("85.", "85.00"),
    ],
)
def test_money_as_typed(text, wanted):
    assert str(read_money(text)) == wanted


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("", "Type an amount, for example 1,250.00"),
        ("much", "isn't an amount"),
        ("$", "isn't an amount"),
        (".", "isn't an amount"),
        ("1,2345", "isn't an amount"),
        ("NaN", "isn't an amount"),
        ("1e5", "isn't an amount"),
        ("-5", "below zero"),
        ("$-5", "below zero"),
        ("(5.00)", "below zero"),
        ("1.234", "parts of a cent"),
        ("12,5", "in more than one way"),
        ("1.250,00", "in more than one way"),
        ("99999999", "more than any job"),
    ],
)
def test_what_is_no_money_is_refused(text, why, refused):
    for reading in refused(why, read_money, text).get("readings", ()):
        read_money(reading)


def test_rates(refused):
    assert (
        read_rate("85/h") == read_rate("$85 per hour") == read_rate("85") == read_rate("85 an hour")
    )
    assert read_rate("85/h") == Rate(Decimal("85.00"), "hour")
    assert read_rate("4.50/ft") == read_rate("4.50", "foot") == Rate(Decimal("4.50"), "foot")
    assert read_rate("300 each") == read_rate("300/beam") == Rate(Decimal("300.00"), "each")
    refused("which isn't known. Type it like 85/h, 4.50/ft or", read_rate, "85/furlong")
    refused("isn't an amount", read_rate, "lots/h")
    refused("below zero", read_rate, "-85/h")


def test_percentages_have_limits(refused):
    assert read_percent("7.5 %", "tax") == read_percent("7.5", "tax") == Decimal("7.5")
    assert read_percent("100%", "deposit") == 100
    refused("% is out of range for", read_percent, "1000 %", "tax")
    refused("% is out of range for", read_percent, "-1", "markup")
    refused("isn't a percentage. Type it like 7.5 or", read_percent, "some", "tax")
    refused("% is out of range for", tax, [], Decimal(1000), "line")


@given(st.text("0123456789.,$-/ hft%e", max_size=20))
def test_nothing_but_a_refusal_comes_of_nonsense(text):
    for read in (read_money, read_rate, lambda t: read_percent(t, "tax")):
        try:
            read(text)
        except BadInput as refusal:
            refusal.shown()

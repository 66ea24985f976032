from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crewdesk.job.books.pricing import REASONS, reason_sentence
from crewdesk.trade.books.estimate import Material, Pricing, estimate
from crewdesk.trade.books.money import SORTS, Rate
from crewdesk.trade.books.stage_rates import DEFAULT_RATES, Beams, Factors, StageRate

D = Decimal
BEAMS = (Beams("B", 2, Fraction(120)),)  # 20 ft, 2 beams
RATE = (StageRate("tack", Fraction(3), Fraction(30), Fraction(1, 4)),)  # 120 min likely


def test_a_price_by_hand():
    boards = Material("poplar 1x8", Fraction(100), D("4.00"), waste=D(10), markup=D(15))
    tape = Material("tape", Fraction(3), D("6.50"), "consumables")
    pricing = Pricing(
        D("60.00"), overhead=D(10), profit=D(20), tax=D("7.5"),
        taxed=frozenset({"materials", "consumables"}), round_to=D(5),
    )  # fmt: skip
    found = estimate(BEAMS, RATE, [boards, tape], pricing)
    # labour 2 h at 60; boards 110 x 4.00 = 440.00 and 15 %; tape 19.50; overhead is 10 % of
    # 645.50; profit 20 % of 710.05; 852.06 goes to the nearest 5; tax is 7.5 % of 525.50
    assert [(line.sort, line.amount) for line in found.likely.lines] == [
        ("labour", D("120.00")),
        ("materials", D("506.00")),
        ("consumables", D("19.50")),
        ("overhead", D("64.55")),
        ("profit", D("142.01")),
        ("rounding", D("-2.06")),
    ]
    assert found.likely.subtotal == D("850.00")
    assert found.likely.tax == D("39.41")  # 39.4125
    assert found.likely.total == D("889.41")
    assert boards.cost == D("440.00")


def test_a_stage_priced_by_the_foot_or_the_beam_costs_the_same_whatever_it_takes():
    for rate, wanted in ((Rate(D("4.50"), "foot"), 90), (Rate(D("70.00"), "each"), 140)):
        found = estimate(BEAMS, RATE, [], Pricing(D("60.00"), stages={"tack": rate}))
        assert (found.low.total, found.likely.total, found.high.total) == (wanted,) * 3
    by_hour = Pricing(D("60.00"), stages={"tack": Rate(D("90.00"), "hour")})
    assert estimate(BEAMS, RATE, [], by_hour).likely.total == 180


def test_low_and_high_are_one_spread_away():
    found = estimate(BEAMS, RATE, [], Pricing(D("60.00")))
    (stage,) = found.stages
    assert (stage.low, stage.likely, stage.high) == (96, 120, 150)
    assert (found.low.total, found.likely.total, found.high.total) == (96, 120, 150)


def test_a_sloped_ceiling_takes_longer():
    sloped = (Beams("B", 2, Fraction(120), ceiling="sloped"),)
    found = estimate(sloped, RATE, [], Pricing(D("60.00")))
    assert found.likely.total == 150
    assert ("ceiling-factor", 2) in [(r.name, r.facts.get("count")) for r in found.reasons]


@pytest.mark.parametrize(
    ("up", "step", "wanted"),
    [(False, "50", "100"), (True, "50", "150"), (True, "120", "120"), (False, "80", "160")],
)
def test_rounding_to_a_step(up, step, wanted):
    pricing = Pricing(D("60.00"), round_to=D(step), round_up=up)
    assert estimate(BEAMS, RATE, [], pricing).likely.subtotal == D(wanted)


_PERCENT = st.decimals(0, 50, places=1)


@given(
    st.decimals(1, 200, places=2), _PERCENT, _PERCENT, _PERCENT,
    st.sets(st.sampled_from(SORTS)), st.sampled_from(["line", "invoice"]),
    st.sampled_from(["0.01", "1", "10"]), st.integers(1, 9), st.integers(24, 300),
)  # fmt: skip
def test_totals_are_lines_and_tax(hour, over, profit, rate, taxed, per, step, count, length):
    pricing = Pricing(hour, over, profit, rate, per, frozenset(taxed), D(step))
    beams = [Beams("B", count, Fraction(length))]
    boards = Material("boards", Fraction(7), D("12.34"), waste=over, markup=profit)
    found = estimate(beams, DEFAULT_RATES, [boards], pricing)
    for price in (found.low, found.likely, found.high):
        assert price.subtotal == sum(line.amount for line in price.lines)
        assert price.subtotal % D(step) == 0
        assert price.total == price.subtotal + price.tax
        base = sum(line.amount for line in price.lines if line.taxed)
        assert abs(price.tax - base * rate / 100) <= D("0.005") * len(price.lines)
    assert found.low.subtotal <= found.likely.subtotal <= found.high.subtotal


def test_every_reason_has_its_sentence():
    beams = [Beams("B", 2, Fraction(120), "deep", "sloped")]
    rates = [
        RATE[0],
        StageRate("rip", Fraction(1), Fraction(1), Fraction(1, 5), 2, "scaled"),
        StageRate("ease", Fraction(1), Fraction(1), Fraction(123, 1000), 5, "fitted"),
    ]
    factors = Factors(sections={"deep": Fraction(3, 2)})
    board = Material("boards", Fraction(7), D("12.34"), waste=D(10))
    tape = Material("tape", Fraction(1), D(0), "consumables")
    told = []
    for taxed in (frozenset(), frozenset({"labour", "materials"})):
        stages = {"ease": Rate(D("4.50"), "foot")} if taxed else {}
        pricing = Pricing(D(60), tax=D(7), taxed=taxed, stages=stages)
        told += estimate(beams, rates, [board, tape], pricing, factors).reasons
    said = [reason_sentence(reason) for reason in told]
    assert {reason.name for reason in told} == set(REASONS)
    # By hand: 2 beams of 10 ft, a minute each and a minute a foot are 22 min; times 1.5 by the
    # section and 1.25 by the slope, 41.25 min. A price by the foot goes by the 20 ft.
    of_ease = [one for one in said if one.startswith("ease")]
    assert of_ease == [
        f"ease: {work}; from 5 past jobs, which were 12.3% apart from the rate."
        for work in ("41.25 min at $60/h", "20 ft at $4.50/ft")
    ]
    assert "Tax of 7% is on labour, materials." in said


@pytest.mark.parametrize(
    ("why", "build"),
    [
        (
            "There is no beam to price. Add at least one",
            lambda: estimate([], RATE, [], Pricing(D(60))),
        ),
        ("it must be more than zero", lambda: Pricing(D(0))),
        ("Type 0.01, 1, 10 or the like", lambda: Pricing(D(60), round_to=D(0))),
        ("Type 0.01, 1, 10 or the like", lambda: Pricing(D(60), round_to=D("0.005"))),
        ("It can be set for", lambda: Pricing(D(60), taxed=frozenset({"air"}))),
        ("% is out of range for", lambda: Pricing(D(60), tax=D(1000))),
        ("% is out of range for", lambda: Material("x", Fraction(1), D(1), waste=D(101))),
        ("has a quantity or price below zero. Both", lambda: Material("x", Fraction(-1), D(1))),
        ("has a quantity or price below zero. Both", lambda: Material("x", Fraction(1), D(-1))),
    ],
)
def test_what_can_not_be_priced_is_refused(why, build, refused):
    refused(why, build)

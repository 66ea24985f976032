from datetime import date
from decimal import Decimal
from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from crewdesk.trade.books.invoice import Draft, issue
from crewdesk.trade.books.invoice_lines import (
    ChangeOrder,
    StageDone,
    Tick,
    extra_line,
    fixed_line,
    less_line,
    part_done,
    percent_text,
    progress_lines,
    stages_done,
)

D = Decimal
DAY = date(2026, 3, 9)


def test_done_is_weighted_by_estimated_minutes():
    ticks = [
        Tick("rip", Fraction(30), True),
        Tick("tack", Fraction(60), False),
        Tick("rip", Fraction(10), False),
        Tick("tack", Fraction(20), True),
    ]
    stages = stages_done(ticks)
    assert stages == (
        StageDone("rip", Fraction(40), Fraction(3, 4)),
        StageDone("tack", Fraction(80), Fraction(1, 4)),
    )
    assert part_done(stages) == Fraction(50, 120)
    lines = progress_lines(D("900.00"), stages, {"rip": "Ripping"})
    assert [(line.text, line.amount) for line in lines] == [("Ripping", 225), ("tack", 150)]


def test_a_percent_is_whole_and_rounded_to_the_nearest():
    # By hand: 7/76 is 9.21%, two thirds are 66.67%, 0.125 is 12.5%, half up 13%.
    assert percent_text(Fraction(1, 4)) == "25%"
    assert percent_text(Fraction(7, 76)) == "9%"
    assert percent_text(Fraction(2, 3)) == "67%"
    assert percent_text(Fraction(1, 8)) == "13%"
    # What is begun isn't 0%, and what isn't done isn't 100%.
    assert percent_text(Fraction(0)) == "0%"
    assert percent_text(Fraction(1, 400)) == "1%"
    assert percent_text(Fraction(399, 400)) == "99%"
    assert percent_text(Fraction(1)) == "100%"


@given(st.fractions(0, 1, max_denominator=400))
def test_a_percent_is_at_most_half_off_but_at_the_ends(part):
    shown = int(percent_text(part).removesuffix("%"))
    assert abs(part * 100 - shown) <= Fraction(1, 2) or shown in (1, 99)


def test_a_stage_without_minutes_counts_its_steps():
    ticks = [Tick("rip", Fraction(0), True), Tick("rip", Fraction(0), False)]
    assert stages_done(ticks)[0].part == Fraction(1, 2)
    assert part_done(stages_done(ticks)) == 0
    assert part_done(()) == 0
    assert progress_lines(D(100), ()) == ()


def test_minutes_below_zero_are_refused(refused):
    refused(
        "has minutes below zero. Type zero or more", stages_done, [Tick("rip", Fraction(-1), True)]
    )


_TICK = st.builds(
    Tick,
    st.sampled_from(["rip", "ease", "tack"]),
    st.integers(0, 630).map(lambda n: Fraction(n, 7)),
    st.booleans(),
)


@given(st.decimals(0, 50_000, places=2), st.lists(_TICK, min_size=1, max_size=12))
def test_all_done_has_earned_the_base_to_the_cent_and_never_more(base, ticks):
    earned = sum(line.amount for line in progress_lines(base, stages_done(ticks)))
    assert 0 <= earned <= base
    whole = [Tick(t.stage, t.minutes, True) for t in ticks]
    assert sum(line.amount for line in progress_lines(base, stages_done(whole))) == base


def test_deposit_progress_and_final_come_to_the_base_and_extras_stay_out():
    base = D("1000.00")
    order = ChangeOrder("CO1", "Post", D("240.00"), None, "R. Alder", DAY)
    stages = (
        StageDone("rip", Fraction(1), Fraction(1)),
        StageDone("tack", Fraction(2), Fraction(1, 3)),
    )
    trail = [issue(Draft("deposit", "J1", "A", (fixed_line("Deposit", D(300)),)), [], DAY)]
    for kind, lines in (
        ("progress", progress_lines(base, stages)),
        ("final", (fixed_line("Beams", base),)),
    ):
        less = less_line("Less billed before", sum(d.draft.base for d in trail))
        extras = (extra_line(order),) if kind == "final" else ()
        trail.append(issue(Draft(kind, "J1", "A", (*lines, less), extras), trail, DAY))
    # earned a third and a third of two thirds: 555.55 with cents shared 333.33 and 666.67
    assert [d.draft.base for d in trail] == [D(300), D("255.55"), D("444.45")]
    assert sum(d.draft.base for d in trail) == base

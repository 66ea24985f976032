from decimal import Decimal
from fractions import Fraction

from crewdesk.trade.books.actuals import BeamWork, beams_over, price_of, stages_took
from crewdesk.trade.books.estimate import Pricing, estimate
from crewdesk.trade.books.stage_rates import Beams, Load, PastJob, StageRate

# 20 ft, 2 beams: tack is 120 min likely, 150 high; rip is 40 likely, 50 high
RATES = (
    StageRate("tack", Fraction(3), Fraction(30), Fraction(1, 4)),
    StageRate("rip", Fraction(2), Fraction(0), Fraction(1, 4)),
)
PLAN = estimate([Beams("B", 2, Fraction(120))], RATES, [], Pricing(Decimal(60))).stages


def job(feet, **minutes):
    return PastJob("j", Load(Fraction(feet), Fraction(2)), {k: v * 60 for k, v in minutes.items()})


def test_a_stage_against_its_estimate_and_all_jobs():
    past = [job(10, tack=50), job(30, tack=190), job(40, rip=30)]
    tack, rip, travel = stages_took(job(20, tack=160, rip=45, travel=30), PLAN, past)
    assert (tack.minutes, tack.per_foot, tack.estimated, tack.over) == (160, 8, 120, 40)
    assert (tack.beyond, rip.beyond) == (True, False)
    # (50 + 190) min over (10 + 30) ft
    assert (tack.all_per_foot, tack.jobs) == (6, 2)
    # 50 min over 10 ft, 190 over 30
    assert (tack.lowest, tack.highest) == (5, Fraction(19, 3))
    assert (rip.all_per_foot, rip.over) == (Fraction(3, 4), 5)
    assert (travel.stage, travel.estimated, travel.over, travel.beyond) == (
        "travel",
        None,
        None,
        False,
    )
    assert (travel.all_per_foot, travel.jobs, travel.lowest) == (None, 0, None)


def test_a_stage_with_an_estimate_and_no_time_is_under():
    tack = stages_took(job(20), PLAN, [])[0]
    assert (tack.minutes, tack.over, tack.beyond) == (0, -120, False)


def test_a_job_without_feet_has_no_minutes_per_foot():
    assert stages_took(job(0, tack=60), PLAN, [])[0].per_foot is None


def test_beams_that_ran_over_with_their_causes():
    work = [
        BeamWork("B1", 3000, Fraction(40), Fraction(50)),  # 50 min: just within
        BeamWork("B2", 3060, Fraction(40), Fraction(50), fix_ups=1, re_reads=3),
        BeamWork("B3", 7200, Fraction(40), Fraction(50)),
    ]
    worst, other = beams_over(work)
    assert (worst.name, worst.over, worst.causes) == ("B3", 80, ())
    assert (other.name, other.over) == ("B2", 11)
    assert other.causes == (("re-reads", 3), ("fix-ups", 1))


def test_the_price_of_fix_ups():
    assert price_of(4800, Decimal("85.00")) == Decimal("113.33")

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crewdesk.trade.books.stage_rates import (
    DEFAULT_RATES,
    LEAST_SPREAD,
    Beams,
    Factors,
    Load,
    PastJob,
    StageRate,
    fit,
    least_squares,
    load_of,
    per_foot_span,
)

TACK = StageRate("tack", Fraction(1), Fraction(20))


def job(feet, beams, minutes, stage="tack"):
    return PastJob("past", Load(Fraction(feet), Fraction(beams)), {stage: int(minutes * 60)})


# NIST StRD, dataset NoInt1 (a line through the origin): certified slope 2.07438016528926.
# The second variable is chosen so that its rate would be below zero, which leaves this line.
def test_a_line_through_the_origin_is_nists():
    points = [(Fraction(x), Fraction(1, 10**6) * (x - 64), Fraction(x + 70)) for x in range(60, 71)]
    found = least_squares(points)
    assert found is not None
    assert found[1] == 0
    assert float(found[0]) == pytest.approx(2.07438016528926, rel=1e-14)


_POINT = st.tuples(st.integers(1, 200), st.integers(1, 30), st.integers(1, 2000))


@given(st.lists(_POINT, min_size=3, max_size=6))
@settings(deadline=None, max_examples=25)
def test_least_squares_are_those_of_sympy(points):
    import sympy

    found = least_squares([tuple(map(Fraction, p)) for p in points])
    matrix = sympy.Matrix([[x, z] for x, z, _ in points])
    if matrix.rank() < 2:
        assert found is None
        return
    assert found is not None
    a, b = matrix.solve_least_squares(sympy.Matrix([y for *_, y in points]))
    if a >= 0 and b >= 0:
        assert found == (Fraction(a.p, a.q), Fraction(b.p, b.q))
    else:
        assert min(found) == 0
        # the least sum on an edge meets the conditions of Karush, Kuhn and Tucker
        slopes = [
            sum(p[i] * (p[2] - found[0] * p[0] - found[1] * p[1]) for p in points) for i in (0, 1)
        ]
        for rate, slope in zip(found, slopes, strict=True):
            assert slope == 0 if rate > 0 else slope <= 0


def test_jobs_that_follow_two_rates_exactly_give_them_back():
    past = [job(f, b, 2 * f + 15 * b) for f, b in ((60, 4), (100, 5), (40, 6), (80, 8))]
    found = fit(TACK, past)
    assert (found.per_foot, found.per_beam) == (2, 15)
    assert (found.how, found.jobs, found.spread) == ("fitted", 4, LEAST_SPREAD)


def test_the_spread_is_the_deviation_of_true_over_reckoned():
    past = [job(60, 4, 100), job(100, 5, 260), job(40, 6, 150), job(80, 8, 170)]
    found = fit(TACK, past)
    ratios = [Fraction(j.seconds["tack"], 60) / found.minutes(j.load) for j in past]
    exact = float(sum((r - 1) ** 2 for r in ratios) / 2) ** 0.5
    assert float(found.spread) == pytest.approx(exact, abs=0.001)
    assert found.spread > LEAST_SPREAD


def test_one_or_two_jobs_scale_the_default_and_keep_its_spread():
    found = fit(TACK, [job(50, 5, 300), job(100, 5, 200)])  # the default reckons 150 and 200
    assert (found.per_foot, found.per_beam) == (Fraction(500, 350), 20 * Fraction(500, 350))
    assert (found.how, found.jobs, found.spread) == ("scaled", 2, TACK.spread)


def test_a_stage_of_ones_own_goes_by_the_foot_until_it_can_be_fitted():
    own = StageRate("stain", Fraction(0), Fraction(0))
    found = fit(own, [job(50, 5, 300, "stain"), job(100, 5, 300, "stain")])
    assert (found.per_foot, found.per_beam, found.how) == (4, 0, "scaled")


def test_jobs_in_one_proportion_can_not_be_fitted_and_scale():
    found = fit(TACK, [job(10, 1, 60), job(20, 2, 60), job(30, 3, 60)])
    assert (found.how, found.jobs) == ("scaled", 3)
    # the default reckons 30, 60, 90, so all minutes agree and none of the jobs does
    assert (found.per_foot, found.per_beam) == (1, 20)
    exact = ((2 - 1) ** 2 + 0 + (Fraction(2, 3) - 1) ** 2) / 2
    assert float(found.spread) == pytest.approx(float(exact) ** 0.5, abs=0.001)


def test_a_job_without_time_on_the_stage_does_not_count():
    assert fit(TACK, []) is TACK
    assert fit(TACK, [job(50, 5, 100, "rip"), job(50, 5, 0)]) is TACK


def test_the_size_of_a_job():
    beams = [
        Beams("great room", 4, Fraction(180), "deep"),
        Beams("porch", 2, Fraction(144), ceiling="sloped"),
    ]
    factors = Factors(sections={"deep": Fraction(3, 2)})
    # 4 x 15 ft x 3/2 and 2 x 12 ft x 5/4
    assert load_of(beams, factors) == Load(Fraction(120), Fraction(17, 2))
    assert load_of(beams[1:], Factors()) == Load(Fraction(30), Fraction(5, 2))


def test_the_defaults_are_marked():
    assert {(r.how, r.jobs) for r in DEFAULT_RATES} == {("default", 0)}


def test_beams_that_can_not_be_are_refused(refused):
    refused("beams; the number must be 1 or more", Beams, "B1", 0, Fraction(100))
    refused("long; it must be more than zero", Beams, "B1", 1, Fraction(0))
    odd = Beams("B1", 1, Fraction(100), ceiling="domed")
    refused("can't have a ceiling of type", load_of, [odd], Factors())


def test_minutes_per_foot_over_jobs_are_spread_from_the_least_to_the_most() -> None:
    rate = StageRate("rip", Fraction(1), Fraction(4))
    # By hand: 10 ft and a beam are 14 min, 1.4 a foot; a quarter over and under.
    assert per_foot_span(rate, ()) == (Fraction(28, 25), Fraction(7, 5), Fraction(7, 4))
    past = [
        PastJob(name, Load(Fraction(feet), Fraction(2)), {"rip": minutes * 60})
        for name, feet, minutes in (("a", 20, 20), ("b", 40, 80))
    ]
    # 20 min over 20 ft and 80 over 40; 100 over the 60 of both.
    assert per_foot_span(rate, past) == (1, Fraction(5, 3), 2)
    assert per_foot_span(StageRate("tack", Fraction(1), Fraction(0)), past)[1] == 1

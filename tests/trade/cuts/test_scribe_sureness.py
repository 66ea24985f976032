"""How sure a scribe is: the true ceiling is shaken behind its readings, and scribed again."""

import random
from fractions import Fraction as Fr
from itertools import product
from math import hypot

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crewdesk.trade.cuts.ceiling import Station, scribe
from crewdesk.trade.cuts.instruments import REPEATS, USUAL_INSTRUMENTS
from crewdesk.trade.cuts.sureness import scribe_sureness

LINE = USUAL_INSTRUMENTS.line_laser
WIDTH = Fr(8)


def gaps_of(heights: dict[tuple[str, Fr], float]) -> dict[tuple[str, Fr], float]:
    lowest = min(heights.values())
    return {place: one - lowest for place, one in heights.items()}


def test_two_far_stations_hang_on_the_line_between_them() -> None:
    """1/8 in at 30 ft is 0.05 in over 12 ft; half a step twice, and 1/32 on top."""
    level = tuple(Station(Fr(at), Fr(10), Fr(10)) for at in (0, 72, 144))
    low_end = (Station(Fr(0), Fr(9), Fr(9)), *level[1:])
    told = scribe_sureness(scribe(low_end, Fr(14)).marks, Fr(0))
    far = LINE.step + REPEATS + Fr(144, 2880)
    assert told.gaps["A", Fr(144)] == told.setting == far
    assert told.gaps["A", Fr(72)] == LINE.step + REPEATS + Fr(72, 2880)
    # Both sides are alike at end 1: the other one may be the lowest, by what both can be off.
    assert told.gaps["A", Fr(0)] == LINE.step + REPEATS


@given(
    st.lists(st.integers(0, 12), min_size=6, max_size=6),
    st.lists(st.integers(-1, 1), min_size=6, max_size=6),
    st.integers(-1, 1),
)
def test_no_gap_goes_further_than_told(heights: list[int], by: list[int], tilt: int) -> None:
    """Each height is off by half a step and half of what a reading repeats to, and the line is
    tilted by all it may be, end to end."""
    places = (Fr(0), Fr(70), Fr(147))
    stations = tuple(
        Station(at, 10 + Fr(heights[i], 32), 10 + Fr(heights[i + 3], 32))
        for i, at in enumerate(places)
    )
    made = scribe(stations, Fr(14))
    told = scribe_sureness(made.marks, WIDTH)
    read = {(m.side, m.at): float(m.gap) for m in made.marks}
    off = float((LINE.step + REPEATS) / 2)
    true = {
        place: gap + by[n] * off + tilt * float(LINE.own * place[1])
        for n, (place, gap) in enumerate(read.items())
    }
    gaps = gaps_of(true)
    for place, gap in gaps.items():
        assert abs(gap - read[place]) <= float(told.gaps[place]) + 1e-9
    assert abs(max(gaps.values()) - max(read.values())) <= float(told.setting) + 1e-9


def test_by_chance_it_comes_near_to_what_is_told_and_never_over() -> None:
    """Ten thousand true ceilings by a seeded Monte Carlo (JCGM 101:2008): uniform in all bounds."""
    chance = random.Random(5)
    stations = (
        Station(Fr(0), Fr(10), Fr("10.25")),
        Station(Fr(70), Fr("10.5"), Fr("10.125")),
        Station(Fr(147), Fr("10.375"), Fr("10.75")),
    )
    made = scribe(stations, Fr(14))
    told = scribe_sureness(made.marks, WIDTH)
    read = {(m.side, m.at): float(m.gap) for m in made.marks}
    half, most = float((LINE.step + REPEATS) / 2), 0.0
    for _ in range(10_000):
        along, across = (chance.uniform(-1, 1) for _ in "ab")
        size = max(1.0, hypot(along, across))
        gaps = gaps_of(
            {
                (side, at): gap
                + chance.uniform(-half, half)
                + float(LINE.own)
                * (along * float(at) + across * (8 if side == "B" else 0)) / size
                for (side, at), gap in read.items()
            }
        )  # fmt: skip
        off = abs(gaps["B", Fr(147)] - read["B", Fr(147)])
        assert off <= told.gaps["B", Fr(147)]
        most = max(most, off)
    assert most > 0.8 * float(told.gaps["B", Fr(147)])


@pytest.mark.parametrize("count", [3, 5])
def test_every_corner_of_a_flat_ceiling(count: int) -> None:
    """Where all are alike any may be the lowest; the worst corner is met exactly."""
    places = [Fr(36 * n) for n in range(count)]
    made = scribe(tuple(Station(at, Fr(10), Fr(10)) for at in places), Fr(14))
    told = scribe_sureness([one for one in made.marks if one.side == "A"], Fr(0))
    half = (LINE.step + REPEATS) / 2
    worst = max(
        max(line) - min(line)
        for by in product((-1, 1), repeat=count)
        for tilt in (-1, 1)
        for line in [[b * half + tilt * LINE.own * at for b, at in zip(by, places, strict=True)]]
    )
    assert told.setting == told.most == worst

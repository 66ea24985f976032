"""A side's back between walls that lean otherwise at side A and side B.

Derived by hand: such a wall is twisted. Where it leans by a at side A and by b at side B, W across,
its plane turns by (b - a) z / W at z up, so the back must lose more at the top than at the bottom.
"""

from fractions import Fraction as Fr

import pytest

from crewdesk.job.beams.in_plan import TypedSquare, read_squares
from crewdesk.job.cuts.dry_fits import dry_fit_of
from crewdesk.job.cuts.marks import marks
from crewdesk.length import exact
from tests.job.test_cut_figures import A, B, Work


@pytest.fixture
def work(record, now) -> Work:
    made = Work(record, now)
    made.make(read_squares(record, "1", (TypedSquare(1, "1", "24", "A"),), made.now()))
    return made


def relief(work, spot) -> Fr | None:
    beam = work.record.beam("1")
    one = marks(beam, beam.piece(spot.piece)).reliefs[0]
    return None if one is None else exact(one.by)


def lean(work, spot, gap: str, way: str) -> None:
    work.read(spot, "run", "192")
    work.read(spot, "end1", gap, way)
    work.read(spot, "end2", "0", "in")


def test_the_back_loses_what_it_must_where_the_wall_turns_most(work) -> None:
    """1/24 at the bottom; 1/2 in 24 more lean at side B turns the wall by 10 / 8 / 48 at the top of
    a side of 10 in under a beam of 8 in."""
    lean(work, A, "0", "in")
    assert relief(work, A) == Fr(3, 4) / 24  # side B is not read yet
    lean(work, B, "1/2", "in")
    assert relief(work, A) == Fr(3, 4) * (Fr(1, 24) + Fr(10, 8 * 48))
    assert relief(work, B) is None


def test_where_it_turns_the_other_way_the_bottom_asks_most(work) -> None:
    lean(work, A, "1/2", "in")
    lean(work, B, "0", "in")
    assert relief(work, A) == Fr(3, 4) / 24


def test_a_wall_can_turn_so_far_that_the_other_side_needs_it_at_its_top(work) -> None:
    """1/24 less 2/24 x 10 / 8 is -1/16: at the top side B's show face has more room."""
    lean(work, A, "2", "in")
    lean(work, B, "0", "in")
    # At its bottom edge side B's show face touches first by 1/24; the most counts.
    assert relief(work, B) == Fr(3, 4) * (Fr(10, 8 * 12) - Fr(1, 24))
    assert relief(work, A) == Fr(3, 4) / 24


def test_the_dry_fit_bevels_for_it_too(work) -> None:
    lean(work, A, "0", "in")
    lean(work, B, "1/2", "in")
    beam = work.record.beam("1")
    fit = dry_fit_of(beam, beam.piece("A"), beam.habits.step)
    assert exact(fit.bevels[0].relief) == relief(work, A)

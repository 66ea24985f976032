"""A side as it was cut, tried in the room as it was read again: 45 rooms, 150 of them
in the slow tests."""

from pathlib import Path

import pytest

from tests.dry_fit.as_cut import both_rooms, measure_as_cut, too_long
from tests.dry_fit.random_rooms import random_room
from tests.dry_fit.room import Wall

SEED = 0


@pytest.mark.parametrize("count", [15, pytest.param(50, marks=pytest.mark.slow)])
@pytest.mark.parametrize(("at", "step"), [*enumerate(("1/32", "1/16", "mm"))])
def test_a_side_as_cut_is_judged_as_the_rigid_board_that_it_is(
    at: int, step: str, count: int, tmp_path: Path
) -> None:
    """Other rooms in each step, so that no worker has all of them."""
    rooms = list(both_rooms(SEED, 150))[at * 50 : at * 50 + count]
    measured = list(measure_as_cut(rooms, step, tmp_path))
    bad = [f"{one.board}: {one.what} {one.value:.4f}" for one in measured if one.beyond > 0]
    assert bad == []
    assert len(measured) > 4 * count


def test_one_end_too_long_at_its_top_and_the_other_at_its_bottom_add_up() -> None:
    """By hand: 10 in high and 120 in long with square ends, between walls that come in by 1/48 at
    end 1 and go out by 1/48 at end 2: 10/48 in too long."""
    usual = next(one for one in (random_room(SEED, at) for at in range(99)) if one.kind == "usual")
    lean, no = usual.run * 0 + 1, usual.run * 0
    room = usual._replace(run=no + 120, walls=(Wall(lean / 48, no), Wall(-lean / 48, no)))
    ends = ([(0.0, 0.0, z) for z in (0.0, 10.0)], [(120.0, 0.0, z) for z in (0.0, 10.0)])
    assert too_long(room, "A", ends) == pytest.approx(10 / 48, abs=1e-5)

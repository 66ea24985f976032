"""A setting drawn: its sides, its lean and its scale are those of the setting."""

from fractions import Fraction as Fr

import pytest

from crewdesk.job.cuts.batches import Group
from crewdesk.job.cuts.cut import Lies
from crewdesk.screens.run_sheet.saw_drawing import drawn


def lines(lies: Lies, *setting: tuple[str, Fr], size: tuple[int, int] = (40, 7)) -> list[str]:
    canvas = drawn(Group("saw", setting, (), lies=lies), "7 1/4", *size)
    assert canvas is not None
    return canvas.text().plain.split("\n")


BOARD = {"thick": Fr(3, 4), "wide": Fr(29, 4)}


def test_a_rip_has_its_fence_its_blade_and_its_scale() -> None:
    made = lines(Lies("front", **BOARD), ("blade tilt", Fr(0)), ("fence", Fr(29, 4)))
    # 3/4 in at 1/4 in to a row are three rows, over the table's line.
    assert [row for row, line in enumerate(made) if "█████" in line] == [1, 2, 3]
    assert all(line.rstrip().endswith("╱╱╱") for line in made[1:4])
    assert {line.index("┃") for line in made[1:4]} == {made[1].index("┃")}
    assert set(made[4]) == {"▔"}
    # The dimension goes from the blade to the fence.
    assert made[5].index("├") - made[1].index("┃") in (0, 1)
    assert made[5].rstrip().endswith("┤")
    assert len(made[5].rstrip()) == 37
    assert "1 row = 1/4 in" in made[6]


@pytest.mark.parametrize("tilts", ["left", "right"])
def test_a_blade_that_leans_away_leaves_the_upper_face_wider(tilts: str) -> None:
    """The fence is on the side from which the blade leans away; the back is down."""
    other = {"left": "right", "right": "left"}[tilts]
    lies = Lies("front", other, tilts, "back", False, **BOARD)
    at_table = Fr(29, 4) - Fr(3, 8)
    made = lines(lies, ("blade tilt", Fr(30)), ("fence at the table", at_table), size=(60, 12))
    board = [line.count("█") for line in made if "█" in line and "show face" not in line]
    assert board[0] > board[-1]
    assert any("show face" in line for line in made)
    assert ("╲" if tilts == "left" else "╱") in made[4]
    fence = made[3].index("╱╱╱")
    assert (fence == 0) == (tilts == "right")


@pytest.mark.parametrize("side", ["left", "right"])
@pytest.mark.parametrize("point", ["fence", "free"])
def test_a_miter_is_longest_where_its_long_point_is(side: str, point: str) -> None:
    lies = Lies("above", side, "", "back", True, point, "bottom edge", **BOARD)
    canvas = drawn(Group("miter saw", (("miter", Fr(18)),), (), lies=lies), "", 50, 12)
    assert canvas is not None
    made = canvas.text().plain.split("\n")
    board = [line.count("█") for line in made if "█" in line]
    assert (board[0] > board[-1]) == (point == "fence")
    # Seen from above the fence is far away; the board is on its side of the blade.
    assert made[0].startswith("▁▁▁")
    assert made[2].lstrip()[0] == ("█" if side == "left" else "░")


def test_a_stops_dimension_stands_below_the_board_from_stop_to_blade() -> None:
    lies = Lies("above", "right", "left", "back", False, "", "edge A", **BOARD)
    setting = (("blade tilt", Fr(15)), ("miter", Fr(0)), ("stop on edge A", Fr(110)))
    made = lines(lies, *setting, size=(50, 9))
    [row] = [at for at, line in enumerate(made) if "7 1/4" in line]
    assert "█" not in made[row]
    assert "█" in made[row - 1]
    # The stop is at the right, as the board is; the dimension's ends are its and the blade's.
    assert made[1].endswith("╱╱╱")
    assert made[row].index("├") - made[1].index("┃") in (0, 1)
    assert len(made[row].rstrip()) == 47


def test_a_narrow_strip_is_as_wide_as_it_is_thick() -> None:
    """A cleat is 3/4 in square: at 1/4 in to a row, a cell twice as high as wide, six columns."""
    lies = Lies("front", thick=Fr(3, 4), wide=Fr(3, 4))
    made = lines(lies, ("blade tilt", Fr(0)), ("fence", Fr(3, 4)))
    assert {line.count("█") for line in made[1:4]} == {6}
    assert "true to scale" in made[6]
    wide = lines(Lies("front", **BOARD), ("blade tilt", Fr(0)), ("fence", Fr(29, 4)))
    assert all("┊" in line for line in wide[1:4])
    assert "drawing shortened" in wide[6]


def test_what_has_no_room_isn_t_drawn() -> None:
    group = Group("saw", (("fence", Fr(7)),), (), lies=Lies("front", **BOARD))
    assert drawn(group, "7", 20, 7) is None
    assert drawn(group, "7", 40, 4) is None
    assert drawn(group._replace(lies=None), "7", 40, 7) is None

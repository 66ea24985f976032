"""Figures as large as there is room for, and drawings of where to measure."""

from datetime import UTC, datetime
from fractions import Fraction

import pytest

from crewdesk.job.beams.piece import Gap
from crewdesk.length import DEFAULT_STEP
from crewdesk.screens.parts.canvas import TEXTURES
from crewdesk.screens.parts.figure import big, dots
from crewdesk.screens.parts.fitted import cut_off, in_rows
from crewdesk.screens.piece.tall_figures import Tall, laid, texts
from crewdesk.screens.piece.templates import (
    ceiling_template,
    side_template,
    walls_in_plan,
    wedge_in_gap,
)

WIDTH = Tall("side width", "7 1/4", now=True)
LINE = Tall("cleat line", "1", more="up the inside")
BLANK = Tall("blank", "112 1/8", "9/64", "= 9' 4 1/8\"")
END = Tall("left end, top out 18.14°", "2 11/32+", "1/16", "door wall")
ALL = (WIDTH, LINE, BLANK, END)


def words(lines) -> list[str]:
    return ["".join(text for text, _ in line) for line in lines]


@pytest.mark.parametrize("columns", [57, 77, 115])
@pytest.mark.parametrize("rows", [1, 2, 4, 6, 9, 14, 30])
def test_every_figure_is_there_whatever_the_room(columns, rows):
    lines = laid(ALL, columns, rows)
    text = "\n".join(words(lines))
    assert all(len(line) <= columns for line in words(lines))
    assert len(lines) <= max(rows, len(texts(ALL, columns)))
    for one in ALL:
        assert one.name in text
        drawn = "█" in text or "▀" in text
        assert one.value in text or drawn
    assert "±9/64" in text
    assert "±1/16" in text


def test_only_the_next_step_s_figures_are_bright_and_have_a_sign():
    for rows in (1, 5, 30):
        lines = laid(ALL, 77, rows)
        bright = [text for line in lines for text, ink in line if ink == "set"]
        assert any("□ side width" in text for text in bright)
        assert not any("blank" in text or "112" in text for text in bright)


def test_more_room_draws_the_next_step_s_figures_larger():
    """5 rows of dots: three in half blocks, five, then ten in whole ones, names over them."""
    assert [len(laid((WIDTH,), 77, rows)) for rows in (3, 4, 6, 11)] == [1, 4, 6, 11]
    assert len(laid((WIDTH,), 4 * len(dots("7 1/4")[0]) - 1, 11)) == 6


def test_a_name_with_a_letter_that_has_no_dots_stays_text():
    assert big("Küche 1", 60, 3) == ["Küche 1"]
    assert len(big("Study 1", 60, 3)) == 3
    assert big("Library by the stairs", 12, 3) == ["Library by …"]


def test_a_cut_text_ends_in_an_ellipsis():
    assert cut_off("window wall", 7) == "window…"
    assert cut_off("window", 7) == "window"
    assert in_rows("one two three four", 9, 2) == "one two\nthree fo…"
    assert in_rows("one two", 9, 2) == "one two"


SPOTS = tuple(map(Fraction, (0, 55, 110)))


@pytest.mark.parametrize("columns", [58, 78, 118])
def test_the_ceiling_says_where_to_measure_next(columns):
    ends = ("door wall", "window wall")
    for done in range(4):
        measured = [at < done for at in range(3)]
        canvas = ceiling_template(SPOTS, measured, ("A", "B"), ends, DEFAULT_STEP, columns, 12)
        lines = canvas.text().plain.split("\n")
        assert {len(line) for line in lines} == {columns}
        text = "\n".join(lines)
        assert text.count("□ measure here") == (done < 3)
        assert text.count("■") == done
        assert text.count("↑") == 3
        if done < 3:
            # Spots are to scale: the first at the left edge, the last at the right one.
            [row] = [line for line in lines if "measure here" in line]
            bars = [at for at, sign in enumerate(row) if sign == "│"]
            assert bars == pytest.approx([0, (columns - 1) / 2, columns - 1], abs=1)
            beside = bars[done] + 2 if done < 2 else bars[2] - 1 - len("□ measure here")
            assert row.index("□") == beside
        assert "1 col = " in text
        assert "heights not to scale" in text
    assert ceiling_template(SPOTS, [False] * 3, ("A",), ends, DEFAULT_STEP, columns, 7) is None
    assert ceiling_template((), (), ("A",), ends, DEFAULT_STEP, columns, 12) is None


@pytest.mark.parametrize("columns", [58, 118])
def test_a_side_says_which_of_its_readings_is_next(columns):
    for read, row in (((True, True, True), 6), ((False, True, True), 0), ((False, False, True), 0)):
        canvas = side_template("side B", (2, 1), ("south", "north"), read, columns, 13)
        lines = canvas.text().plain.split("\n")
        [found] = [at for at, line in enumerate(lines) if "□ measure here" in line]
        assert found == row
        assert lines[-1].startswith("end 2 south")
        assert lines[-1].endswith("end 1 north")
        # The dimension line goes from wall to wall.
        assert lines[6].index("├") == lines[1].index(TEXTURES["board"])
        assert lines[6].rindex("┤") == lines[1].rindex(TEXTURES["board"])
        at_left = lines[0].index("□") < columns // 2 if row == 0 else None
        assert at_left == {(False, True, True): True, (False, False, True): False}.get(read)
    done = side_template("side A", (1, 2), ("", ""), (False,) * 3, columns, 13)
    assert "□" not in done.text().plain


@pytest.mark.parametrize(("longer", "rows"), [("A", (0, 2)), ("B", (2, 0))])
def test_walls_in_plan_slant_to_the_side_that_runs_longer(longer, rows):
    far, near = rows
    ends = ("door wall", "window wall")
    lines = walls_in_plan(("5/16", "1/4"), (longer, longer), ends, 62).plain.split("\n")
    # The leg stands where it is; the wall goes off it, in one body, and the gap is measured there.
    assert {len(line) for line in lines} == {62}
    assert len({line.index("│") for line in lines[:3]}) == 1
    wide = [len(line) - len(line.lstrip("╱")) for line in lines[:3]]
    assert wide == sorted(wide, reverse=longer == "B")
    assert lines[near][wide[near]] == "│"
    assert "├─5/16─┤│" in lines[far]
    assert "│├─1/4──┤" in lines[far]
    assert "side A" in lines[0]
    assert "side B" in lines[2]
    # The ends' names are below the ends, whole.
    assert lines[3].startswith("end 1 door wall")
    assert lines[3].endswith("end 2 window wall")
    assert "not to scale" in lines[3]


@pytest.mark.parametrize("columns", [48, 62])
def test_the_walls_names_are_cut_only_without_room(columns):
    for first, second in (("a", "b" * 24), ("by the stairs of the hall", "window wall")):
        last = walls_in_plan(("", ""), ("", ""), (first, second), columns).plain.split("\n")[-1]
        room = columns - len("not to scale") - 2
        fits = len(f"end 1 {first}end 2 {second}") <= room
        assert ("…" in last) == (not fits)
        assert "not to scale" in last
        assert len(last) <= columns


@pytest.mark.parametrize("gap", ["0", "0.0", ""])
def test_a_square_wall_is_drawn_straight(gap):
    lines = walls_in_plan((gap, gap), ("A", "A"), ("", ""), 60).plain.split("\n")
    assert {line.index("│") for line in lines[:3]} == {11}
    assert lines[0].startswith("╱" * 11)
    assert ("gap?" in lines[1]) == (not gap)


@pytest.mark.parametrize(("cure", "ink"), [("wedge", "cleat"), ("caulk", "waste")])
def test_a_gap_is_drawn_with_what_closes_it(cure, ink):
    when = datetime(2026, 3, 2, tzinfo=UTC)
    gap = Gap(Fraction(3, 16), "end 2", "bowed", cure, when)
    lines = wedge_in_gap(gap, DEFAULT_STEP).plain.split("\n")
    # The dimension line goes from the wall's face to the board's.
    assert lines[0].index("├") == lines[1].index(TEXTURES[ink])
    assert lines[0].index("┤") == lines[1].index(TEXTURES["board"]) - 1
    assert "3/16 in" in lines[0]
    assert cure in lines[1]
    # 16 columns show 3/16 in: each is 3/256 in, 0.0117.
    assert "1 col = 0.0117 in" in lines[2]
    widths = [line.count(TEXTURES[ink]) for line in lines[1:]]
    assert widths == sorted(widths, reverse=True)
    assert (len(set(widths)) > 1) == (cure == "wedge")


def test_a_figure_of_a_later_step_is_in_the_last_line_and_never_tall():
    later = END._replace(later="left 2 11/32+ out 18.14°")
    lines = laid((WIDTH, LINE, BLANK, later), 77, 7)
    assert words(lines)[-1].strip() == "left 2 11/32+ out 18.14°"
    # A name and five rows of blocks, three of them beside the others' half blocks.
    assert len(lines) == 7
    assert sum("█" in line for line in words(lines)[1:6]) == 5
    assert "▀" in words(lines)[1]


def test_bright_figures_are_further_apart_than_the_words_of_one():
    """4 and 15° side by side must not read as 415."""
    for rows in (4, 6, 11):
        lines = laid(
            (WIDTH._replace(name="w", value="4"), END._replace(value="15", now=True)), 78, rows
        )
        dot = {4: 1, 6: 2, 11: 4}[rows]
        ink = {at for line in words(lines)[1:] for at, sign in enumerate(line) if sign != " "}
        four = max(at for at in ink if at < 3 * dot)
        assert min(at for at in ink if at > four) - four > 4 * dot


def test_before_its_width_is_known_a_gap_is_drawn_with_a_wedge():
    lines = wedge_in_gap(None, DEFAULT_STEP).plain.split("\n")
    assert "width?" in lines[0]
    widths = [line.count(TEXTURES["cleat"]) for line in lines[1:]]
    assert widths == sorted(set(widths), reverse=True)
    assert "not to scale" in lines[2]


def test_the_ceiling_ties_the_spot_to_the_field_with_the_cursor():
    ends = ("door wall", "window wall")
    for spot, side in ((0, "B"), (2, "A")):
        canvas = ceiling_template(
            SPOTS, (False,) * 3, ("A", "B"), ends, DEFAULT_STEP, 78, 30, (spot, side)
        )
        lines = canvas.text().plain.split("\n")
        [row] = [line for line in lines if f"□ measure here, over {side}" in line]
        assert (row.index("□") < 39) == (spot == 0)
    # A tall screen's rows go to the distance between the laser's line and the ceiling.
    assert sum("│" in line for line in lines) > 10

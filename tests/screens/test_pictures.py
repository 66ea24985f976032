"""Pictures on the canvas: what stands where, to scale, and read without colour."""

import re
from datetime import UTC, datetime
from decimal import Decimal
from fractions import Fraction

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from crewdesk.job.beams.beam import Beam
from crewdesk.job.beams.forms import FORMS
from crewdesk.job.beams.in_plan import with_square
from crewdesk.job.beams.readings import Reading, SquareRead
from crewdesk.job.cuts.marks import marks
from crewdesk.job.lumber.spliced import Spliced
from crewdesk.job.lumber.takeoff import Board, CutFrom
from crewdesk.length import DEFAULT_STEP, STEPS
from crewdesk.paper.lengths import READ_THE_SQUARE
from crewdesk.screens.material.boards import cut_board_picture
from crewdesk.screens.parts.canvas import TEXTURES, Canvas, Scale, true_scale
from crewdesk.screens.piece.beam_pictures import ceiling_picture, section_picture
from crewdesk.screens.piece.board_pictures import board_picture, bottom_picture
from crewdesk.trade.boards.stock import Placed, Saws
from crewdesk.trade.cuts.ceiling import Station, scribe
from crewdesk.trade.cuts.section import Section
from crewdesk.trade.cuts.side_board import EndReading, side_cut
from crewdesk.trade.cuts.skew import SkewReading

STEP = DEFAULT_STEP
SECTION = Section(Fraction(8), Fraction(10))
WALLS = ("north", "south")
SIZES = ((78, 7), (78, 12), (118, 18), (40, 5))


def end(gap: str, lean: str) -> EndReading:
    return EndReading(Fraction(gap), lean, Fraction(24))


CUT = side_cut(Fraction(2357, 16), Fraction(10), end("5/32", "in"), end("1/16", "out"))


def beam_of(form: str = "usual", height_b: str = "") -> Beam:
    doc = {
        "name": "1",
        "room": "Hall",
        "ends": list(WALLS),
        "ceiling": "flat",
        "form": form,
        "section": {key: str(value) for key, value in SECTION._asdict().items()},
        "pieces": {key: {} for key in FORMS[form].pieces},
    }
    return Beam.from_doc("1", doc | ({"height_b": height_b} if height_b else {}))


def plain(canvas: Canvas) -> list[str]:
    return canvas.text().plain.split("\n")


@pytest.mark.parametrize(
    "corners",
    [
        [(2, 1), (17, 1), (17, 7), (2, 7)],
        [(1, 7), (10.5, 0.5), (19, 6)],
        [(0, 8), (20, 8), (14, 2), (6, 2)],
    ],
)
def test_a_filled_shape_covers_its_area(corners):
    """Dots counted against shapely's area; what differs is less than its outline's dots."""
    canvas = Canvas(20, 8)
    canvas.fill(corners, "board")
    shape = shapely.Polygon(corners)
    quarters = sum(
        bin("▘▝▀▖▌▞▛▗▚▐▜▄▙▟█".index(c) + 1).count("1")
        for line in plain(canvas)
        for c in line
        if c != " "
    )
    assert quarters / 4 == pytest.approx(shape.area, abs=shape.length / 4)


QUARTERS = "▘▝▀▖▌▞▛▗▚▐▜▄▙▟█"
placed_corners = st.lists(
    st.tuples(st.floats(0.01, 0.99), st.floats(0.01, 0.99)), min_size=3, max_size=5, unique=True
)


def shows(canvas: Canvas, ink: str) -> set[tuple[int, int]]:
    """The cells in which an ink's texture is read, without any color."""
    signs = QUARTERS if TEXTURES[ink] == "█" else TEXTURES[ink]
    return {
        (column, row)
        for row, line in enumerate(plain(canvas))
        for column, sign in enumerate(line)
        if sign in signs
    }


@given(st.data())
def test_no_filled_shape_is_lost(data):
    """Shapes of any size side by side, each in a box of its own, also smaller than a dot:
    a cell that shapely finds within a cell's width of it reads as its ink."""
    wide, high = (data.draw(st.floats(1, 3), label=name) for name in ("wide", "high"))
    canvas = Canvas(14, 9)
    shapes = []
    for place in range(12):
        corners = data.draw(placed_corners)
        shrunk = data.draw(st.sampled_from([1, 0.3, 0.02]))
        x, y = place % 4 * wide, place // 4 * high
        corners = [(x + wide * shrunk * a, y + high * shrunk * b) for a, b in corners]
        ink = data.draw(st.sampled_from(list(TEXTURES)))
        canvas.fill(corners, ink)
        hull = shapely.Polygon(corners)
        if hull.is_valid and hull.area > 1e-6:
            shapes.append((hull, ink))
    for shape, ink in shapes:
        near = min(shape.distance(shapely.box(c, r, c + 1, r + 1)) for c, r in shows(canvas, ink))
        assert near <= 1.5


@given(st.lists(st.sampled_from(list(TEXTURES)), min_size=2, max_size=6, unique=True), st.data())
def test_shapes_in_one_cell_or_under_one_another_all_show(inks, data):
    canvas = Canvas(3, 3)
    for ink in inks:
        x, y = data.draw(st.floats(0, 2)), data.draw(st.floats(0, 2))
        size = data.draw(st.sampled_from([0.001, 0.4, 1]))
        canvas.fill([(x, y), (x + size, y), (x + size, y + size), (x, y + size)], ink)
    assert all(shows(canvas, ink) for ink in inks)


def test_a_word_keeps_its_letters_over_a_small_shape_and_a_line_gives_way():
    canvas = Canvas(6, 2)
    canvas.fill([(1, 0), (2, 0), (2, 1), (1, 1)], "cleat")
    canvas.fill([(0, 1), (1, 1), (1, 2), (0, 2)], "waste")
    canvas.write(0, 0, "12 in")
    canvas.down(0, 0, 1)
    lines = plain(canvas)
    assert lines[0] == "12 in "
    assert TEXTURES["cleat"] in lines[1]
    assert TEXTURES["waste"] in lines[1]


def test_what_has_no_size_or_is_elsewhere_is_not_drawn():
    canvas = Canvas(4, 2)
    canvas.fill([(1, 1), (3, 1), (1, 1)], "waste")
    canvas.fill([(9, 9), (12, 9), (12, 12)], "waste")
    assert plain(canvas) == ["    "] * 2


@pytest.mark.parametrize("deep", [0.02, 0.5, 1, 2.3])
def test_between_two_lines_each_column_has_its_texture(deep):
    canvas = Canvas(6, 5)
    upper = [(0, 1.3), (6, 1.9)]
    lower = [(x, y + deep) for x, y in upper]
    canvas.below(lower, 5, "board")
    canvas.between(upper, lower, "waste")
    assert {column for column, _ in shows(canvas, "waste")} == set(range(6))
    canvas = Canvas(6, 5)
    canvas.between(upper, [(0, 1), (6, 1.8)], "waste")
    assert not shows(canvas, "waste")


@pytest.mark.parametrize("eighths", range(9))
def test_a_line_is_sharp_to_an_eighth_of_a_cell(eighths):
    """Lower blocks as Unicode names them, U+2581 LOWER ONE EIGHTH BLOCK and on."""
    at = 2 - Fraction(eighths, 8)
    stood = Canvas(4, 2)
    stood.below([(0, at), (4, at)], 2, "board")
    block = chr(0x2580 + eighths) if eighths else " "
    assert plain(stood) == ["    ", block * 4]


def test_the_scale_puts_an_inch_as_high_as_it_is_wide():
    scale = true_scale(8, 10, 40, 12)
    assert 8 * 2 * scale <= 40
    assert 10 * scale <= 12
    assert (8 * 2 * scale).is_integer()
    placed = Scale(2 * scale, scale, column=1, row=12)
    assert placed.at(0, 0) == (1, 12)
    assert placed.at(1, 1) == pytest.approx((1 + 2 * scale, 12 - scale))


@pytest.mark.parametrize(("columns", "rows"), SIZES)
@pytest.mark.parametrize("side", ["A", "B"])
def test_a_board_fits_and_names_its_ends_as_seen_from_its_show_face(side, columns, rows):
    lines = plain(board_picture(CUT, side, WALLS, STEP, columns, rows))
    assert {len(line) for line in lines} == {columns}
    assert len(lines) <= rows
    left, right = ("end 1", "end 2") if side == "A" else ("end 2", "end 1")
    [names] = [line for line in lines if line.startswith(left)]
    assert right in names[columns // 2 - 6 :]
    if columns > 50:
        assert (names.index("back") < names.index("out")) == (side == "A")
        # The wood is free of text; what a row and a column show is below it.
        assert not any(
            sign.isalnum() for line in lines[1 : lines.index(names) - 1] for sign in line
        )
        assert "offsets drawn 100 x" in lines[-1]
    assert "bottom edge 147 5/16 in" in lines[lines.index(names) - 1]


@pytest.mark.parametrize(("columns", "rows"), [*SIZES, (78, 4), (78, 6)])
@pytest.mark.parametrize("step", [DEFAULT_STEP, STEPS["mm"]])
def test_a_board_s_picture_states_its_scales(columns, rows, step):
    """What is stated is what is drawn: the board's length and width counted in cells."""
    text = board_picture(CUT, "A", WALLS, step, columns, rows).text().plain
    lines = text.split("\n")
    unit, inch = ("mm", 25.4) if step.mm else ("in", 1)
    [along] = re.findall(rf"1 col(?:umn)? = ([\d.]+) {unit}", text)
    [up] = re.findall(rf"1 row = ([\d.]+) {unit}", text)
    own = rows >= 6  # the scales have a row of their own, below the ends' names
    wide = len(lines[-2 - own].strip())
    assert float(along) * wide / inch == pytest.approx(float(CUT.bottom_length), rel=0.05)
    assert float(up) * (len(lines) - 3 - own) / inch == pytest.approx(10, rel=0.01)
    # A cell is twice as high as wide; drawn three times as high as true at most.
    assert float(up) >= 2 * float(along) / 3 * 0.99
    assert len(lines) == rows or float(up) < 2 * float(along) / 3 * 1.2
    assert "offsets drawn" in lines[-1]


@pytest.mark.parametrize("side", ["A", "B"])
@pytest.mark.parametrize(("columns", "rows"), [(78, 6), (78, 9), (118, 13)])
def test_dimension_lines_end_at_the_corners_that_they_measure(side, columns, rows):
    """The board's corners, found in the drawing as the first and last cell of its face."""
    lines = plain(board_picture(CUT, side, WALLS, STEP, columns, rows))
    for line, beside in ((lines[0], lines[1]), (lines[-3], lines[-4])):
        face = [at for at, sign in enumerate(beside) if sign in QUARTERS]
        assert abs(line.index("├") - face[0]) <= 1
        assert abs(line.index("┤") - face[-1]) <= 1
    assert "top edge 147 1/4+ in" in lines[0]


@pytest.mark.parametrize(("columns", "rows"), [(78, 7), (118, 13)])
def test_a_bottom_s_dimension_lines_end_at_its_corners(columns, rows):
    for edge_b, squares in (("147", "0A 0A"), ("146.4583", "1A 1A"), ("147.5417", "1B 1B")):
        lines = bottom_drawn(edge_b, squares, columns, rows)
        last = next(at for at, line in enumerate(lines) if line.startswith("end 1")) - 1
        for line, beside in ((lines[0], lines[1]), (lines[last], lines[last - 1])):
            face = [at for at, sign in enumerate(beside) if sign in QUARTERS]
            assert abs(line.index("├") - face[0]) <= 2
            assert abs(line.index("┤") - face[-1]) <= 2
        beam = beam_of()
        piece = beam.piece("bottom")
        lines = plain(bottom_picture(beam, piece, marks(beam, piece), STEP, columns, rows))
        for line, beside in ((lines[0], lines[1]), (lines[-1], lines[-2])):
            face = [at for at, sign in enumerate(beside) if sign in QUARTERS]
            assert abs(line.index("├") - face[0]) <= 1
            assert abs(line.index("┤") - face[-1]) <= 1


def test_without_room_for_its_scales_a_board_is_not_drawn():
    assert board_picture(CUT, "A", WALLS, STEP, 78, 3) is None
    assert board_picture(CUT, "A", WALLS, STEP, 36, 4) is None


@pytest.mark.parametrize("rows", [5, 6, 7, 12])
def test_splices_and_scales_both_have_a_place(rows):
    cut = Spliced("1", "A", "side A", Fraction(2357, 16), (Fraction(60), Fraction(90)), "scarf")
    lines = plain(board_picture(CUT, "A", WALLS, STEP, 78, rows, cut))
    assert sum("scarf 60 in" in line and "scarf 90 in" in line for line in lines) == 1
    assert sum("1 row = " in line and "1 col" in line for line in lines) == 1
    assert "offsets drawn 100 x" in lines[-1]


@pytest.mark.parametrize(("rows", "columns"), [(5, 78), (7, 78), (16, 118)])
@pytest.mark.parametrize("gaps", [("1/32", "in", "1", "in"), ("1", "out", "1/32", "in")])
def test_waste_shows_at_each_end_that_is_not_square(rows, columns, gaps):
    cut = side_cut(Fraction(150), Fraction(10), end(*gaps[:2]), end(*gaps[2:]))
    lines = plain(board_picture(cut, "A", WALLS, STEP, columns, rows))[1:-1]
    for half in (slice(columns // 2), slice(columns // 2, columns)):
        assert any(TEXTURES["waste"] in line[half] for line in lines)


def test_side_b_is_drawn_as_the_mirror_of_side_a():
    def edges(side: str) -> list[tuple[int, int]]:
        rows = plain(board_picture(CUT, side, WALLS, STEP, 78, 12))[2:-3]
        drawn = [[c in "▘▝▀▖▌▞▛▗▚▐▜▄▙▟█┊" for c in row] for row in rows]
        return [(row.index(True), row[::-1].index(True)) for row in drawn]

    for (left, right), (other_left, other_right) in zip(edges("A"), edges("B"), strict=True):
        assert abs(left - other_right) <= 1
        assert abs(right - other_left) <= 1


def test_square_ends_are_said_and_not_exaggerated():
    plumb = side_cut(Fraction(100), Fraction(10), end("0", "in"), end("0", "in"))
    lines = plain(board_picture(plumb, "A", WALLS, STEP, 78, 8))
    assert re.findall("square", lines[-2]) == ["square", "square"]
    assert "offsets drawn" not in lines[-1]
    assert not any("┊" in line for line in lines)


def test_a_steep_wall_on_a_short_board_still_fits():
    steep = side_cut(Fraction(14), Fraction(14), end("8", "in"), end("8", "in"))
    lines = plain(board_picture(steep, "A", WALLS, STEP, 78, 8))
    assert [len(line) for line in lines] == [78] * 8


def test_the_section_is_to_scale_and_tells_its_parts_apart_without_colour():
    lines = plain(section_picture(beam_of(), STEP, 44, 16))
    board = [line for line in lines if "█" in line]
    wide = max(line.rindex("█") for line in board)
    # 8 by 10 in: a cell is twice as high as wide.
    assert wide == pytest.approx(2 * len(board) * 8 / 10, abs=2)
    text = "\n".join(lines)
    assert TEXTURES["bottom"] in text
    assert TEXTURES["cleat"] in text
    for number in ("8 in", "10 in side", "1 in cleat line", "1/4 in reveal", "bottom 6 1/2 in"):
        assert number in text
    assert section_picture(beam_of(), STEP, 44, 4) is None


@pytest.mark.parametrize(("columns", "rows"), [(78, 13), (78, 10), (40, 22), (60, 9), (118, 22)])
@pytest.mark.parametrize("form", ["usual", "uneven", "box", "wall"])
@pytest.mark.parametrize("cleat", ["1/2", "3/4", "1"])
def test_both_cleats_show_and_the_scale_is_stated(form, columns, rows, cleat):
    """At 80 by 24 the section has 78 by 13 cells and less."""
    beam = beam_of(form, "12" if form == "uneven" else "")
    canvas = section_picture(beam, STEP, columns, rows, Fraction(cleat))
    found = {column for column, _ in shows(canvas, "cleat")}
    middle = (min(found) + max(found)) / 2
    assert any(column < middle for column in found)
    assert any(column > middle for column in found)
    text = canvas.text().plain
    [up] = re.findall(r"to scale: 1 row = 2 columns = ([\d.]+) in", text)
    high = 12 if form == "uneven" else 10
    assert high / float(up) == pytest.approx(len(text.split("\n")) - 3, abs=1)


def test_along_a_ridge_the_bottom_tilts_and_both_sides_have_their_own_heights():
    """Drops of 12 and 11 in under 6/12: 10 and 9 in at the show faces, 4 in off the ridge."""
    doc = {
        "name": "1", "room": "Hall", "ends": list(WALLS), "ceiling": "flat", "form": "ridge",
        "pitch": "6/12", "height_b": "11",
        "section": {"width": "8", "height": "12"},
        "pieces": {key: {} for key in FORMS["ridge"].pieces},
    }  # fmt: skip
    lines = plain(section_picture(Beam.from_doc("1", doc), STEP, 60, 22))
    text = "\n".join(lines)
    for number in ("10 in side A", "9 in side B", "1 in A lower", "tilted 8.75°"):
        assert number in text
    middle = len(lines[5].partition("╶")[0].rstrip()) // 2
    left, right = (
        [at for at, line in enumerate(lines[:-2]) if TEXTURES["bottom"] in line[part]]
        for part in (slice(middle), slice(middle, 2 * middle))
    )
    assert max(left) > max(right), "lower at side A"
    assert min(left) > min(right)


def test_the_bottom_narrows_towards_its_back():
    beam = beam_of()
    bottom = beam.piece("bottom")
    lines = plain(bottom_picture(beam, bottom, marks(beam, bottom), STEP, 78, 9))
    assert "back 6 7/32+ in" in lines[0]
    assert "show face 6 1/2 in" in lines[-1]
    drawn = [line for line in lines if "█" in line]
    assert drawn[0].count("█") < drawn[-1].count("█")


@pytest.mark.parametrize(
    ("form", "words", "without"),
    [
        ("mitred", ("3/4 in mitered 45°", "10 in side", "bottom 8 in"), ("reveal", "cleat")),
        ("mitred box", ("3/4 in mitered 45°", "10 in side"), ("reveal",)),
        ("box", ("1 in cleat line", "1/4 in reveal"), ("mitered",)),
        ("wall", ("wall", "1/4 in reveal", "bottom 7 1/2 in"), ("side B", "B▌")),
        ("uneven", ("10 in side A", "12 in side B"), ()),
    ],
)
def test_every_form_has_its_section(form, words, without):
    beam = beam_of(form, "12" if form == "uneven" else "")
    lines = plain(section_picture(beam, STEP, 44, 16))
    text = "\n".join(lines)
    assert all(word in text for word in words), text
    assert not any(word in text for word in without), text
    assert len(lines) <= 16
    assert all(len(line) == 44 for line in lines)
    assert section_picture(beam, STEP, 44, 4) is None
    closed = TEXTURES["bottom"] in lines[1]
    assert closed == (form in ("box", "mitred box")), text


WHEN = datetime(2026, 3, 2, tzinfo=UTC)


def bottom_drawn(
    edge_b: str, squares: str, columns: int = 78, rows: int = 9, *, form: str = "usual"
) -> list[str]:
    """The bottom 147 in long along edge A; `squares` are gap over 24 in and longer side at
    end 1 and end 2, "-" where none was read."""
    beam = beam_of(form)
    for number, read in enumerate(squares.split(), 1):
        if read != "-":
            one = SkewReading(Fraction(read[:-1]), Fraction(24), read[-1])
            beam = with_square(beam, number, SquareRead(*one, WHEN))
    typed = {"opening": "147", "edge_b": edge_b}
    piece = beam.piece("bottom")
    made = marks(beam, piece, {k: Reading(Fraction(v), WHEN) for k, v in typed.items()})
    return plain(bottom_picture(beam, piece, made, STEP, columns, rows))


def slants(lines: list[str]) -> tuple[float, float]:
    """By how many columns edge A is drawn past edge B at the left and at the right."""
    first, last = lines[0], next(line for line in lines if "edge B" in line)
    left = (len(last) - len(last.lstrip())) - (len(first) - len(first.lstrip()))
    right = len(first.rstrip()) - len(last.rstrip())
    return left, right


@pytest.mark.parametrize(
    ("edge_b", "squares", "left", "right"),
    [
        ("147", "1A 1B", 1, -1),
        ("147", "1B 1A", -1, 1),
        ("146.4583", "1A 1A", 1, 1),
        ("147.5417", "1B 1B", -1, -1),
        ("146.1875", "1A 2A", 0.5, 1),
        ("146.1875", "2A 1A", 1, 0.5),
        ("146.72916", "1A 0A", 1, 0),
        ("147.2708", "0A 1B", 0, -1),
    ],
)
def test_the_bottom_s_ends_are_drawn_as_they_are_cut(edge_b, squares, left, right):
    """Parallelogram, trapezoid and unequal slants, 1 or 2 in 24; side A is above."""
    lines = bottom_drawn(edge_b, squares)
    found = slants(lines)
    largest = max(abs(one) for one in found)
    assert largest >= 2
    assert found[0] == pytest.approx(left * largest, abs=1)
    assert found[1] == pytest.approx(right * largest, abs=1)
    names = next(line for line in lines if line.startswith("end 1"))
    assert "slant drawn" in names
    assert READ_THE_SQUARE not in "\n".join(lines)


def test_a_slant_that_is_not_known_is_not_drawn():
    """The tape says 1/4 in, and no square at which end: both are broken, none slants."""
    lines = bottom_drawn("146.75", "- -", rows=10)
    assert "edge A 146 31/32 in, back 146 11/16" in lines[0]
    names = next(at for at, line in enumerate(lines) if line.startswith("end 1"))
    assert "edge B 146 23/32 in" in lines[names - 1]
    assert any(READ_THE_SQUARE in line for line in lines[:names])
    assert slants(lines) == (0, 0)
    assert sum(line.count("?") for line in lines[:names]) == 2
    assert len({line[:2] for line in lines[1 : names - 1]}) > 1, "the end isn't drawn straight"
    assert "slant drawn" not in lines[names]
    narrow = bottom_drawn("146.75", "- -", columns=40, rows=10)
    assert any(" measure the walls with the square " in line for line in narrow)


def test_in_few_rows_the_face_keeps_its_scale_and_its_doubt():
    known = bottom_drawn("147", "- -", rows=4)
    assert len(known) == 4
    assert "1 row = 6.5 in" in known[1]
    unknown = bottom_drawn("146.75", "- -", rows=5)
    assert len(unknown) == 5
    assert "1 row = 3.25 in" in unknown[1]
    assert READ_THE_SQUARE in unknown[2]


@pytest.mark.parametrize("edge_b", ["147.25", "146.75", "147"])
@pytest.mark.parametrize("squares", ["- -", "1A -", "1/8A 1/8B"])
@pytest.mark.parametrize(("columns", "rows"), [(78, 10), (78, 14), (118, 16), (46, 9)])
def test_the_bottom_s_face_states_its_scales(edge_b, squares, columns, rows):
    lines = bottom_drawn(edge_b, squares, columns, rows)
    text = "\n".join(lines)
    face = next(at for at, line in enumerate(lines) if line.startswith("end 1"))
    [along] = re.findall(r"1 col(?:umn)? = ([\d.]+) in", text)
    [up] = re.findall(r"1 row = ([\d.]+) in", "\n".join(lines[:face]))
    assert float(along) * columns == pytest.approx(147, rel=0.09)
    assert float(up) * (face - 2) == pytest.approx(6.5, rel=0.01)
    if len(lines) > face + 1:
        assert re.search(r"to scale: 1 row = 2 columns = [\d.]+ in", "\n".join(lines[face:]))
    assert "edge A 1" in lines[0]
    assert "edge B 1" in lines[face - 1]


def test_the_ceiling_of_both_sides_with_what_comes_off():
    read = [("0", "12.25", "12.375"), ("73", "12.125", "12.25"), ("147", "12.5", "12.3125")]
    stations = tuple(Station(*map(Fraction, row)) for row in read)
    made = scribe(stations, Fraction(10), margin=Fraction(1, 16))
    assert made.setting == Fraction(7, 16)
    tape = Fraction(1)
    lines = plain(ceiling_picture(made, Fraction(147), tape, WALLS, STEP, 78, 18))
    assert [len(line) for line in lines] == [78] * 18
    assert "side A, scriber set to 7/16 in" in lines[0]
    assert "side B" in lines[9]
    # Setting less gap, station by station from the left; side B from its own show face.
    assert re.findall("↓[0-9/]+", lines[7]) == ["↓5/16", "↓7/16", "↓1/16"]
    assert re.findall("↓[0-9/]+", lines[16]) == ["↓1/4", "↓5/16", "↓3/16"]
    assert lines[8].startswith("end 1 north")
    assert lines[17].startswith("end 2 south")
    assert any("tape's edge" in line for line in lines)
    assert ceiling_picture(made, Fraction(147), tape, WALLS, STEP, 78, 11) is None


FELL = (("0", "12.5", "12.5"), ("73", "12.25", "12.5"), ("147", "12", "12.5"))
"""A ceiling that falls 1/2 in over side A towards end 2, where so the most comes off."""


@pytest.mark.parametrize(("columns", "rows"), [(78, 12), (78, 18), (118, 24), (58, 12)])
@pytest.mark.parametrize("read", [FELL, [(at, b, a) for at, a, b in FELL]])
def test_at_the_ceiling_waste_shows_in_every_column(columns, rows, read):
    made = scribe(tuple(Station(*map(Fraction, row)) for row in read), Fraction(10))
    canvas = ceiling_picture(made, Fraction(147), Fraction(1), WALLS, STEP, columns, rows)
    lines = plain(canvas)
    for first in (0, rows // 2):
        drawn = lines[first + 1 : first + rows // 2 - 1]
        for column in range(columns):
            assert any(line[column] == TEXTURES["waste"] for line in drawn), column
            # The ceiling is over it, in a texture that isn't the board's.
            assert drawn[0][column] == TEXTURES["wall"]
        assert any("█" in line for line in drawn[-1:])
        [along] = re.findall(r"1 col(?:umn)? = ([\d.]+) in", lines[first])
        [up] = re.findall(r"1 row = ([\d.]+) in", lines[first])
        assert float(along) == pytest.approx(147 / columns, rel=0.01)
        assert float(up) > 0


def test_the_ceiling_comes_down_to_the_level_line_where_it_is_lowest():
    """Nothing but waste under it at end 2 of side A, air over the level line at the middle."""
    made = scribe(tuple(Station(*map(Fraction, row)) for row in FELL), Fraction(10))
    lines = plain(ceiling_picture(made, Fraction(147), Fraction(1), WALLS, STEP, 118, 24))
    drawn = lines[1:10]
    low = "".join(line[116] for line in drawn).replace(TEXTURES["wall"] * 2, TEXTURES["wall"])
    assert low.lstrip(TEXTURES["wall"])[0] == TEXTURES["waste"]
    assert "▁" in "".join(line[60] for line in drawn)


def test_the_board_s_edge_is_deeper_where_more_comes_off():
    made = scribe(tuple(Station(*map(Fraction, row)) for row in FELL), Fraction(10))
    lines = plain(ceiling_picture(made, Fraction(147), Fraction(1), WALLS, STEP, 78, 24))
    depth = [
        next(at for at, line in enumerate(lines[:10]) if line[column] in "▂▃▄▅▆▇█")
        for column in (0, 77)
    ]
    assert depth[0] < depth[1]


def test_a_beam_with_one_side_has_its_side_alone_under_the_ceiling():
    made = scribe(tuple(Station(*map(Fraction, row)) for row in FELL), Fraction(10))
    lines = plain(
        ceiling_picture(made, Fraction(147), Fraction(1), WALLS, STEP, 78, 12, sides=("A",))
    )
    assert len(lines) == 12
    assert not any("side B" in line for line in lines)


SAWS = Saws(Fraction(1, 8), rip_kerf=Fraction(1, 8))


@pytest.mark.parametrize(("columns", "rows"), [(76, 5), (76, 7), (116, 7), (40, 4)])
@pytest.mark.parametrize("width", ["15/2", "29/4"])
def test_a_cut_board_states_its_scales_and_loses_no_cleat_and_no_waste(columns, rows, width):
    """Two cleats 3/4 in wide beside a side, the board with or without 1/4 in left along it."""
    board = Board(
        "1", "Oak", "", "1x8", Fraction(3, 4), Fraction(width), Fraction(144), Decimal("20"),
        "to buy", "rip",
        (CutFrom("1", "A", 1, 1, Fraction(0), Fraction(100), Fraction(0), Fraction(11, 2)),),
        tuple(
            Placed("cleat", Fraction(0), Fraction(143), near, near + Fraction(3, 4))
            for near in (Fraction(45, 8), Fraction(13, 2))
        ),
    )  # fmt: skip
    names = dict.fromkeys(board.pieces, "Hall 1 side A")
    canvas = cut_board_picture(board, names, SAWS, STEP, columns, rows)
    lines = plain(canvas)
    assert [len(line) for line in lines] == [columns] * rows
    [along] = re.findall(r"1 col(?:umn)? = ([\d.]+) in", lines[-1])
    [up] = re.findall(r"1 row = ([\d.]+) in", lines[-1])
    assert float(along) == pytest.approx(144 / columns, rel=0.01)
    drawn = rows - (2 if rows > 4 else 1)  # without the scales and, with room, the lengths
    assert float(up) == pytest.approx(Fraction(width) / drawn, rel=0.01)
    # A cell is twice as high as wide; heights are drawn three times as high as true at most.
    assert float(up) * 3 >= float(along) * 2 or drawn == 3
    assert ("◂" in lines[-2] and "100 in" in lines[-2]) == (rows > 4)
    cleats = shows(canvas, "cleat")
    assert len([cell for cell in cleats if cell[1] < rows - 1]) >= 2
    waste = {row for column, row in shows(canvas, "waste") if row < rows - 1}
    beside = [column for column, row in shows(canvas, "waste") if row == 0 and column > 0]
    if width == "15/2":
        assert beside, "the strip of 1/4 in above the cleats"
    assert waste
    assert cut_board_picture(board, names, SAWS, STEP, columns, 3) is None


@pytest.mark.parametrize("dots", [Fraction(1, 2), Fraction(3, 2), Fraction(5, 4), Fraction(7, 3)])
def test_two_blocks_alike_are_drawn_alike_at_either_end(dots) -> None:
    """A mirror image: with an edge in the middle of a dot too, the right one isn't wider."""
    canvas, wide, thick = Canvas(10, 1), 10, dots / 2
    for left in (Fraction(0), wide - thick):
        canvas.fill([(left, 0), (left + thick, 0), (left + thick, 1), (left, 1)], "board")
    (row, _) = canvas._dots
    assert row == row[::-1]
    assert row.count("board") >= 2

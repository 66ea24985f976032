"""Draw a side and a flat board to scale, seen from their show faces, with their marks in words."""

from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from crewdesk.job.beams.beam import Beam
from crewdesk.job.beams.piece import Piece
from crewdesk.job.cuts.as_built import board_as_cut
from crewdesk.job.cuts.mark_list import board_end_mark, end_mark
from crewdesk.job.cuts.marks import BottomMarks, Marks, SideMarks
from crewdesk.job.lumber.spliced import Spliced
from crewdesk.length import Length, Step, exact
from crewdesk.paper.lengths import READ_THE_SQUARE, degrees_shown, with_unit_at_most
from crewdesk.paper.sheets.pages import FACE_HIGH, Pages, Strip
from crewdesk.paper.sheets.pen import BOARD, GREY, HAIR, INCH, Place, TypeSizes, lead
from crewdesk.paper.text.mark_text import degrees_of, figure_of
from crewdesk.trade.cuts.board_end import BoardEnd
from crewdesk.trade.cuts.bottom_cut import BottomCut
from crewdesk.trade.cuts.face import Face, cut_face, face, times_drawn
from crewdesk.trade.cuts.profile import bottom_profile
from crewdesk.trade.cuts.side_board import End, EndCut, Side, SideCut

ENDS = 40.0
"""Space for a wall and an enlarged offset at either end of a drawing, in points."""
LARGEST_OFFSET = 14.0
"""The largest enlarged offset, in points."""


@dataclass(frozen=True)
class BoardScale:
    """The scales along a board and across it, the same for all boards of a beam: one inch on
    paper is `length` inches along the board and `width` inches across it."""

    length: int
    width: int

    @property
    def along(self) -> float:
        """Points per inch along a board."""
        return INCH / self.length

    @property
    def up(self) -> float:
        """Points per inch across it."""
        return INCH / self.width

    def text(self, what: str = "", times: int = 1) -> str:
        """Return both scales in words, and how many times enlarged `what` is, if it is."""
        enlarged = f", {what} {times} x" if times > 1 else ""
        return f"length 1 : {self.length}, width 1 : {self.width}{enlarged}"

    def for_width(self, width: Length, high: float) -> "BoardScale":
        """Return the same scale along a board, and across it the largest whole one that draws
        `width` inches no more than `high` points high."""
        return BoardScale(self.length, whole_scale(width, high))


def whole_scale(inches: Length, points: float) -> int:
    """Return n of the largest scale 1 : n, n whole, at which `size` inches fit into `room`
    points."""
    return max(1, ceil(float(inches) * INCH / points - HAIR))


def board_scale(made: list[Marks], wide: float, high: float) -> BoardScale | None:
    """Return the whole scales at which a beam's longest board fits into `wide` points and its
    widest side into `high`; None if no length is known."""
    lengths = [length for one in made if (length := _length(one))]
    heights = [one.height for one in made if isinstance(one, SideMarks)]
    if not lengths or not heights:
        return None
    return BoardScale(whole_scale(max(lengths), wide - 2 * ENDS), whole_scale(max(heights), high))


def _length(made: Marks) -> Length | None:
    if isinstance(made, SideMarks) and made.cut is not None:
        return _longest(made.cut)
    return made.length if isinstance(made, BottomMarks) else None


def _longest(cut: SideCut) -> Fraction:
    return max(exact(cut.bottom_length), exact(cut.blank))


Walls = tuple[str, str]
_WALL, _CLEAR = 9.0, 2.0
"""The width of a drawn wall, and its distance from the board, in points."""
_LINE = 10.0
"""The size of the words in a drawing."""


def side_strip(
    pages: Pages, made: SideMarks, cut: SideCut, side: Side, walls: tuple[str, str], step: Step,
    scale: BoardScale, size: TypeSizes, spliced: Spliced | None = None, *, ceiling: bool = True,
    whole: bool = True, measured: bool = True,
) -> Strip:  # fmt: skip
    """Return a side's strip.

    It has the marks of both ends, the face with its splices, a dimension line if `measured`, the
    ends' names and its scales. `walls` are the names of end 1 and end 2, cut off if too long unless
    `whole`; `ceiling` is whether the top edge meets the ceiling.
    """
    high = float(cut.height) * scale.up
    drawn = face(cut, side, times=_times(cut, scale))
    ends, zero = (cut.end1, cut.end2), Fraction(0)
    marks, under = lead(size.mark), lead(_LINE) * measured
    shown = scale.text("offsets", drawn.times)
    names = names_strip(pages, (drawn.left, drawn.right), walls, shown, size, whole=whole)

    def draw(pages: Pages, y: float) -> None:
        middle = (pages.left + pages.right) / 2
        left = middle - float(sum(_reach(drawn))) / 2 * scale.along

        def at(x: Fraction, up: Fraction) -> Place:
            return left + float(x) * scale.along, top + high - float(up) * scale.up

        _mark(pages, ends[drawn.left - 1], step, size, pages.left, y, "L")
        _mark(pages, ends[drawn.right - 1], step, size, pages.right, y, "R")
        top = y + marks + 2
        board = [at(*corner) for corner in drawn.board]
        pages.shape(board, fill=BOARD, thick=1.2)
        _blank(pages, drawn, [at(*corner) for corner in drawn.blank])
        if spliced is not None:
            first, last = (at(*corner)[0] for corner in drawn.blank[:2])
            at1, at2 = (first, last) if drawn.left == 1 else (last, first)
            splices_drawn(pages, spliced, at1, at2, top, top + high)
        low_left, low_right, up_right, up_left = board
        _wall(pages, up_left, low_left, -1)
        _wall(pages, up_right, low_right, 1)
        for x, end in ((zero, drawn.left), (exact(cut.bottom_length), drawn.right)):
            if ends[end - 1].offset:
                pages.line(at(x, zero), at(x, cut.height), thick=0.7, dash=2)
        if made.cleat_line is not None:
            line = exact(made.cleat_line)
            _cleat(pages, at(zero, line), at(exact(cut.bottom_length), line))
        edge = "top edge, to the ceiling" if ceiling else "top edge"
        _words(pages, f"SHOW FACE OF SIDE {side}", edge, middle, top, high, scale, made)
        if measured:
            text = f"bottom edge {with_unit_at_most(cut.bottom_length, step)}"
            pages.dimension(low_left[0], low_right[0], top + high + under / 2 + 1, text, _LINE)
        names.draw(pages, top + high + under + 3)

    return Strip(marks + 2 + high + under + 3 + names.height + 2, draw)


def _times(cut: SideCut, scale: BoardScale) -> int:
    """Return how many times the offsets are enlarged."""
    return times_drawn(cut, exact(LARGEST_OFFSET / scale.along))


def _mark(
    pages: Pages, end: EndCut, step: Step, size: TypeSizes, x: float, y: float, align: str
) -> None:
    """Return what to mark at an end: how far the top goes from the square line, and the angle."""
    if end.offset == 0:
        pages.write(x, y, "square", size.mark, bold=True, align=align)
        return
    way = "back" if end.offset > 0 else "out"
    text = f"top {figure_of(end_mark(end, '', 1), step)} {way}"
    angle = degrees_shown(abs(end.angle_deg))
    shift = pages.width_of(angle, size.word) + 6
    down = 0.95 * (size.mark - size.word)
    if align == "L":
        wide = pages.write(x, y, text, size.mark, bold=True)
        pages.write(x + wide + 6, y + down, angle, size.word)
    else:
        pages.write(x - shift, y, text, size.mark, bold=True, align="R")
        pages.write(x, y + down, angle, size.word, align="R")


def _blank(pages: Pages, drawn: Face, corners: list[Place]) -> None:
    """Draw the square-ended blank, if it is larger than the board."""
    if drawn.blank != drawn.board:
        pages.shape(corners, thick=0.6, dash=3, grey=GREY)


def _wall(pages: Pages, upper: Place, low: Place, outward: int) -> None:
    """Draw the wall at an end, slightly off it."""
    near = [(x + outward * _CLEAR, y) for x, y in (upper, low)]
    far = [(x + outward * _WALL, y) for x, y in near]
    (left_up, left_low), (right_up, right_low) = (near, far) if outward > 0 else (far, near)
    pages.hatch((left_up, right_up, right_low, left_low))
    pages.line(near[0], near[1], thick=1)


def splices_drawn(
    pages: Pages, one: Spliced, at1: float, at2: float, top: float, foot: float
) -> None:
    """Draw a line across the board at each splice, slanted for a scarf; `at1` and `at2` are the
    places of the blank's ends 1 and 2."""
    lean = 3.0 if one.joint == "scarf" else 0.0
    for place in one.places:
        x = at1 + (at2 - at1) * float(place / one.length)
        pages.line((x + lean, top), (x - lean, foot), thick=1.4)


def _reach(drawn: Face) -> tuple[Fraction, Fraction]:
    """Return how far the board and its blank reach to the left and to the right."""
    every = [x for x, _ in (*drawn.board, *drawn.blank)]
    return min(every), max(every)


def _cleat(pages: Pages, start: Place, end: Place) -> None:
    """Draw the cleat line, dotted: it is on the other face."""
    pages.line(start, end, thick=0.5, dash=1.5, grey=GREY)


def _words(
    pages: Pages, told: str, edge: str, middle: float, top: float, high: float, scale: BoardScale,
    made: SideMarks,
) -> None:  # fmt: skip
    """Write which face and edges are shown, as far as there is room."""
    foot = 0.0 if made.cleat_line is None else float(made.cleat_line) * scale.up
    foot = foot if foot < lead(_LINE) else 0.0
    if high - foot < 3.2 * _LINE:
        y = top + (high - foot - lead(_LINE)) / 2
        pages.write(middle, y, told, _LINE, bold=True, align="C")
        return
    pages.write(middle, top + 1, edge, _LINE, align="C")
    pages.write(middle, top + (high - foot) / 2 - 0.6 * _LINE, told, _LINE, bold=True, align="C")
    pages.write(middle, top + high - foot - lead(_LINE), "bottom edge", _LINE, align="C")


def names_strip(
    pages: Pages, ends: tuple[End, End], walls: Walls, told: str, size: TypeSizes,
    *, whole: bool = True,
) -> Strip:  # fmt: skip
    """Return the line with the left and the right end, with their names from `walls`, and between
    them the scales in small type.

    Without room for both, the names take more lines and the scales a line of their own, or the
    names are cut off unless `whole`.
    """
    names = [
        f"{side}, end {end}{': ' if walls[end - 1] else ''}{walls[end - 1]}"
        for side, end in zip(("left", "right"), ends, strict=True)
    ]
    beside = (pages.wide - pages.width_of(told, size.small) - 20) / 2
    fits = all(pages.width_of(one, size.word, True) <= beside for one in names)
    if not fits and not whole:
        names, fits = [pages.fitted(one, size.word, beside, True) for one in names], True
    room = beside if fits else (pages.wide - 20) / 2
    left, right = (pages.wrapped(one, size.word, room, bold=True) for one in names)
    rows = max(len(left), len(right))
    high = rows * lead(size.word)

    def draw(pages: Pages, y: float) -> None:
        for lines, x, align in ((left, pages.left, "L"), (right, pages.right, "R")):
            for at, line in enumerate(lines):
                pages.write(x, y + at * lead(size.word), line, size.word, bold=True, align=align)
        middle = (pages.left + pages.right) / 2
        below = y + (0.95 * (size.word - size.small) if fits else high)
        pages.write(middle, below, told, size.small, align="C")

    return Strip(high if fits else high + lead(size.small), draw)


_THREE_LINES = 3.2 * _LINE
"""The height of the face, and the least height for three lines of words, in points."""
SECTION_HIGH = 24.0
"""The height of the section, in points."""
_TOOTH = 5.0
"""The depth of the zigzag of an end of unknown slant, in points."""
_BETWEEN = 12.0
"""Points between the texts of the left and right end."""


def flat_strip(
    pages: Pages, beam: Beam, piece: Piece, cut: BottomCut, step: Step, scale: BoardScale,
    size: TypeSizes, spliced: Spliced | None = None, *, most: float = FACE_HIGH,
    whole: bool = True, measured: bool = True,
) -> Strip:  # fmt: skip
    """Return a flat board's strip: how each end is cut, the face as marked with edge A at the top,
    a dimension line if `measured`, the ends' names and the scales.

    The face is `most` points high at most; long names are cut off unless `whole`. A bottom has end
    1 at the left, as seen from below once it is up; a top, outer face up, has end 2 there.
    """
    top, scribed = piece.kind == "top", beam.boards[piece.key].second_edge == "scribed"
    scale = scale.for_width(cut.width, most)
    along = scale.along
    drawn = cut_face(cut, exact(LARGEST_OFFSET / along), exact(_TOOTH / along), top=top)
    high = float(cut.width) * scale.up
    heads = _heads(pages, [cut.ends[end - 1] for end in (drawn.left, drawn.right)], step, size)
    line, under = lead(size.word), lead(_LINE) * measured
    scales = scale.text("slant", drawn.times)
    names = names_strip(pages, (drawn.left, drawn.right), beam.ends, scales, size, whole=whole)
    above = [] if all(drawn.known) else [READ_THE_SQUARE[0].upper() + READ_THE_SQUARE[1:]]

    def draw(pages: Pages, y: float) -> None:
        for text in above:
            pages.write(pages.left, y, text, size.word, bold=True, room=pages.wide)
            y += line
        for texts in heads:
            _left_and_right(pages, texts, size, y)
            y += line
        y += 2
        middle = (pages.left + pages.right) / 2
        long = float(drawn.length) * scale.along
        left, right = middle - long / 2, middle + long / 2
        corners = [
            (left + float(x) * scale.along, y + high * (1 - float(up / exact(cut.width))))
            for x, up in drawn.outline
        ]
        pages.shape(corners, fill=BOARD, thick=1.2)
        if spliced is not None:
            at1, at2 = (left, right) if drawn.left == 1 else (right, left)
            splices_drawn(pages, spliced, at1, at2, y, y + high)
        if high >= _THREE_LINES:
            pages.write(middle, y + 1, _edge("A", cut, step), _LINE, align="C")
            edge_b = _edge("B", cut, step)
            edge_b += ", scribed to the wall" if scribed else ""
            pages.write(middle, y + high - lead(_LINE), edge_b, _LINE, align="C")
        about = f"{'OUTER' if top else 'SHOW'} FACE OF THE {piece.name.upper()}"
        about += "; edge B, scribed to the wall, below" if scribed and high < _THREE_LINES else ""
        pages.write(middle, y + (high - lead(_LINE)) / 2, about, _LINE, bold=True, align="C")
        low = [x for x, at in corners if at > y + high - 0.5]
        if measured and all(drawn.known):
            text = f"edge B {with_unit_at_most(cut.edge_b, step)}"
            pages.dimension(min(low), max(low), y + high + under / 2 + 1, text, _LINE)
        names.draw(pages, y + high + under + 3)

    heights = (len(above) + len(heads)) * line, 2 + high, under, 3 + names.height + 2
    return Strip(sum(heights), draw)


def _heads(
    pages: Pages, ends: list[BoardEnd], step: Step, size: TypeSizes
) -> list[tuple[str, str]]:
    """Return the cuts of the left and right end: slant and joint in a line if there is room, else
    the slants above the joints."""
    slants = [_slant(end, step) for end in ends]
    joints = [_joint(end) for end in ends]
    whole = [f"{slant}; {joint}" for slant, joint in zip(slants, joints, strict=True)]
    if all(pages.width_of(one, size.word, True) <= _room(pages) for one in whole):
        return [(whole[0], whole[1])]
    return [(slants[0], slants[1]), (joints[0], joints[1])]


def _room(pages: Pages) -> float:
    return (pages.wide - _BETWEEN) / 2


def _left_and_right(pages: Pages, texts: tuple[str, str], size: TypeSizes, y: float) -> None:
    """Write a text at the left and one at the right, in smaller type if they would meet."""
    room = _room(pages)
    fits = min(pages.size_for(one, size.word, room, 1, bold=True) for one in texts)
    down = y + 0.95 * (size.word - fits)
    for text, x, align in zip(texts, (pages.left, pages.right), "LR", strict=True):
        pages.write(x, down, text, fits, bold=True, align=align, room=room)


def _slant(end: BoardEnd, step: Step) -> str:
    if end.offset is None or end.miter_deg is None:
        return "slant not known"
    if end.longer is None:
        return "square across"
    past = figure_of(board_end_mark(end), step)
    return f"miter {degrees_shown(end.miter_deg)}, edge {end.longer} longer by {past}"


def _joint(end: BoardEnd) -> str:
    if end.joint == "square":
        return "blade square"
    blade = degrees_of(end.blade_deg)
    if end.joint == "relief":
        return f"relief, blade {blade}"
    return f"bevel, blade {blade}, back shorter"


def _edge(name: str, cut: BottomCut, step: Step) -> str:
    if cut.edge_a == cut.edge_b:
        return f"edge {name}"
    edge = cut.edge_a if name == "A" else cut.edge_b
    return f"edge {name} {with_unit_at_most(edge, step)}"


def section_drawn(
    beam: Beam, piece: Piece, made: BottomMarks, pages: Pages, y: float, wide: float
) -> tuple[float, int]:
    """Draw the board's section, show face down, at the right, at most `wide` points wide. Return
    its left edge and n of its scale 1 : n."""
    board = board_as_cut(beam, piece.key)
    number = max(whole_scale(board.width, wide), whole_scale(board.thickness, SECTION_HIGH))
    scale = INCH / number
    left, foot = pages.right - float(board.width) * scale, y + SECTION_HIGH
    corners = [
        (left + float(x) * scale, foot - float(up) * scale)
        for x, up in bottom_profile(board, made.flat)
    ]
    pages.shape(corners, fill=BOARD, thick=1)
    return left, number

"""A flat board's show face on paper with the cuts at its ends, and its section."""

from crewdesk.job.beams.beam import Beam
from crewdesk.job.beams.piece import Piece
from crewdesk.job.cuts.as_built import board_as_cut
from crewdesk.job.cuts.mark_list import board_end_mark
from crewdesk.job.cuts.marks import BottomMarks
from crewdesk.job.lumber.spliced import Spliced
from crewdesk.length import Step, exact
from crewdesk.paper.lengths import degrees_shown, with_unit_at_most
from crewdesk.paper.scale_text import READ_THE_SQUARE
from crewdesk.paper.sheets.pages import Pages, Strip
from crewdesk.paper.sheets.pen import BOARD, INCH, TypeSizes, lead
from crewdesk.paper.sheets.side_drawn import (
    LARGEST_OFFSET,
    BoardScale,
    names_strip,
    splices_drawn,
    whole_scale,
)
from crewdesk.paper.text.mark_text import degrees_of, figure_of
from crewdesk.trade.cuts.board_end import BoardEnd
from crewdesk.trade.cuts.bottom_cut import BottomCut
from crewdesk.trade.cuts.face import cut_face
from crewdesk.trade.cuts.profile import bottom_profile

_LINE = 10.0
FACE_HIGH = 4 * _LINE
_THREE_LINES = 3.2 * _LINE
"""How high the face may be, and how high it must be for three lines of words, in points."""
SECTION_HIGH = 24.0
"""How high the section may be, in points."""
_TOOTH = 5.0
"""How deep an end of unknown slant is broken, in points."""
_BETWEEN = 12.0
"""Points between what is written at the left and at the right end."""


def flat_strip(
    pages: Pages, beam: Beam, piece: Piece, cut: BottomCut, step: Step, scale: BoardScale,
    size: TypeSizes, spliced: Spliced | None = None, *, most: float = FACE_HIGH,
    whole: bool = True, measured: bool = True,
) -> Strip:  # fmt: skip
    """How each end is cut; under it the face as it is marked, edge A away from you; then a
    dimension line if `measured`, the ends' names and the scales.

    The face is `most` points high at the most; names are cut off where not `whole` and too
    long. A bottom has end 1 at the left, as it is seen from below once it is up; a top, outer face
    up, has end 2 there.
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
    """What is cut at the left and at the right end: slant and joint in a line if both ends
    have room for it, else the slants over the joints."""
    slants = [_slant(end, step) for end in ends]
    joints = [_joint(end) for end in ends]
    whole = [f"{slant}; {joint}" for slant, joint in zip(slants, joints, strict=True)]
    if all(pages.width_of(one, size.word, True) <= _room(pages) for one in whole):
        return [(whole[0], whole[1])]
    return [(slants[0], slants[1]), (joints[0], joints[1])]


def _room(pages: Pages) -> float:
    return (pages.wide - _BETWEEN) / 2


def _left_and_right(pages: Pages, texts: tuple[str, str], size: TypeSizes, y: float) -> None:
    """A text at the left and one at the right, in smaller type if they would meet."""
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
    """The board's section, show face down, at the right, `wide` points wide at most. Return
    where it begins and the n of its scale 1 : n."""
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

"""The cuts of bottoms and tops, and when their edge B must be measured too."""

from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import Final, NamedTuple

from crewdesk.errors import BadInput
from crewdesk.job.beams.beam import Beam
from crewdesk.job.beams.measured import BOTH, read_with, runs_of, squares_of
from crewdesk.job.beams.piece import OwnCut, Piece
from crewdesk.job.beams.readings import Reading
from crewdesk.job.cuts.as_built import board_as_cut, height_as_cut, off_center, section_as_cut
from crewdesk.job.cuts.cut import in_sentence
from crewdesk.job.cuts.walls import skew_at, wall_ratio, walls_of
from crewdesk.length import Length, exact
from crewdesk.trade.cuts.board_end import BoardEnd, WallAt
from crewdesk.trade.cuts.bottom_cut import BottomCut, BottomReading, bottom_cut, top_cut
from crewdesk.trade.cuts.forms import FormBoard
from crewdesk.trade.cuts.instruments import apart_off


def cut_of(
    beam: Beam,
    piece: Piece,
    typed: Mapping[str, Reading] | None = None,
    own: OwnCut | None = None,
) -> BottomCut | None:
    """Return the bottom board's cut, or None until it was measured along one line or both edges.

    typed: replaces the record's readings; own: the record's own lengths. The record's cut is
    computed once. Raises `BadInput`, for example if your own length is over its reading without a
    reason.
    """
    if not typed and own is None and beam.pieces.get(piece.key) is piece:
        return beam.once(f"cut of {piece.key}", lambda: _cut_of(beam, piece, None, None))
    return _cut_of(beam, piece, typed, own)


def _cut_of(
    beam: Beam, piece: Piece, typed: Mapping[str, Reading] | None, own: OwnCut | None
) -> BottomCut | None:
    edge_a, edge_b = piece.read(("opening", "edge_b"), typed)
    if edge_a is None:
        return None
    own = own or piece.own_cut
    walls = walls_of(beam, square=edge_b is None)
    if edge_b is None:
        apart = sum((exact(wall.skew_off) for wall in walls), Fraction(0))
        apart *= beam.boards[piece.key].width
    else:
        apart = apart_off(read_with(beam, edge_a), read_with(beam, edge_b))
    return bottom_cut(
        section_as_cut(beam, piece.key),
        BottomReading(edge_a.value, None if edge_b is None else edge_b.value),
        board=board_as_cut(beam, piece.key),
        wanted=None if own is None else (own.edge_a, own.edge_b),
        reason="" if own is None else own.reason,
        walls=walls,
        apart_off=apart,
    )


def own_refused(
    beam: Beam, piece: Piece, typed: Mapping[str, Reading] | None = None
) -> BadInput | None:
    """Return why your own lengths of a bottom can't be cut by today's readings, for example if one
    is over its reading; None if they can, or if the readings make no board."""
    if piece.own_cut is None:
        return None
    try:
        cut_of(beam, piece, typed)
    except BadInput as refused:
        try:
            cut_of(beam, piece._replace(own_cut=None), typed)
        except BadInput:
            return None
        return refused
    return None


class TopRoom(NamedTuple):
    """The room of a top board: `rooms` are the distances between the walls along its edges A and B
    at its upper face, in inches; `walls` come in per inch below that face."""

    board: FormBoard
    rooms: tuple[Length, Length]
    walls: tuple[WallAt, WallAt]


def top_cut_of(beam: Beam) -> BottomCut | None:
    """Return the top board's cut; None until both sides' readings are all there. Raises
    `BadInput`."""
    if (room := top_room_of(beam)) is None:
        return None
    return top_cut(beam.section, room.board, room.rooms, room.walls)


def top_room_of(beam: Beam) -> TopRoom | None:
    """Return the top board's room, from both sides' readings at its height; None until all are
    there. Raises `BadInput`.

    Between straight walls a length and a wall's slope change evenly across the beam, so both
    are taken between side A's show face and side B's at the board's edges.
    """
    sides = [beam.pieces[key] for key in ("A", "B") if key in beam.pieces]
    runs = [run for side in sides if (run := side.latest("run")) is not None]
    if len(runs) < 2 or "top" not in beam.boards:
        return None
    ratios = [[wall_ratio(beam, side, end) for end in BOTH] for side in sides]
    if any(one is None for pair in ratios for one in pair):
        return None
    board, wide = board_as_cut(beam, "top"), beam.section.width
    high = max(height_as_cut(beam, "A"), height_as_cut(beam, "B"))
    rooms: list[Length] = []
    worst: list[Length] = [Fraction(-1), Fraction(-1)]
    middle = wide / 2 + off_center(beam)
    for across in (middle - board.width / 2, middle + board.width / 2):
        part = across / wide
        length = runs[0].value + (runs[1].value - runs[0].value) * part
        walls = [_between(ratios[0][at], ratios[1][at], part) for at in range(2)]
        rooms.append(length - (walls[0] + walls[1]) * high)
        worst = [max(old, -wall) for old, wall in zip(worst, walls, strict=True)]
    skews = []
    for at, end in enumerate(BOTH):
        skew = skew_at(beam, end)
        twist = _between(ratios[0][at], ratios[1][at], Fraction(1)) - _between(
            ratios[0][at], ratios[1][at], Fraction(0)
        )
        skews.append(None if skew is None else skew + twist * high / wide)
    offs = [Fraction(0) if one is None else one.off for one in squares_of(beam)]
    first, second = (WallAt(*each) for each in zip(worst, skews, offs, strict=True))
    return TopRoom(board, (rooms[0], rooms[1]), (first, second))


def _between(at_a: Length | None, at_b: Length | None, part: Fraction) -> Length:
    """Return a value interpolated from side A to side B; both are known."""
    assert at_a is not None
    assert at_b is not None
    return at_a + (at_b - at_a) * part


EDGE_B: Final = "edge_b"
"""The name of the reading along a bottom's edge B."""


def reads_as_one(beam: Beam, piece: Piece) -> str:
    """Return why a bottom measured along one line has no lengths yet, and what to measure; "" if it
    has, or nothing was measured."""
    if piece.latest("opening") is None or piece.latest(EDGE_B) is not None:
        return ""
    return unread_edge(beam, piece, EDGE_B) or ""


def unread_edge(beam: Beam, piece: Piece, what: str) -> str | None:
    """Return None unless the walls are known to be out of square and edge B, `what`, is unmeasured
    or the slants are unknown; else a sentence that says so."""
    if piece.latest(what) is not None:
        return slant_unknown(beam, piece)
    if (why := out_of_square(beam)) is None:
        return None
    return (
        f"{why}, so the two edges of {beam.label} {piece.name} differ. Measure edge B "
        "too, and type it among its readings."
    )


def slant_unknown(beam: Beam, piece: Piece) -> str | None:
    """Return None unless the two edges differ and no square shows at which end; else a sentence.
    Your own lengths replace the slants."""
    if piece.kind == "top":
        return _top_slant_unknown(beam, piece)
    edge_a, edge_b = piece.latest("opening"), piece.latest("edge_b")
    if edge_a is None or edge_b is None or edge_a.value == edge_b.value:
        return None
    if piece.own_cut is not None or any(beam.pair.square(end) is not None for end in (1, 2)):
        return None
    by = in_sentence(abs(edge_a.value - edge_b.value), beam.habits.step)
    return (
        f"Edge A and edge B of {beam.label} {piece.name} differ by {by}, and nothing "
        "says at which end the slant is. Measure the walls with the square, or type "
        "your own lengths for the board."
    )


def _top_slant_unknown(beam: Beam, piece: Piece) -> str | None:
    try:
        cut = top_cut_of(beam)
    except BadInput:  # the side's own check reports this
        return None
    if cut is None or all(end.known for end in cut.ends):
        return None
    by = in_sentence(abs(exact(cut.rooms[0]) - exact(cut.rooms[1])), beam.habits.step)
    return (
        f"Edge A and edge B of {beam.label} {piece.name} differ by {by}, by the sides' "
        "readings, and nothing says at which end the slant is. Measure the walls with "
        "the square."
    )


def square_unread(beam: Beam) -> str:
    """Return a sentence that a wall without a square's reading may be out of square, since the
    sides' lengths differ by more than the squares give; "" if not. Raises `BadInput`."""
    squares, runs = squares_of(beam), runs_of(beam)
    unread = [end for end, one in enumerate(squares, 1) if one is None]
    if not unread or len(runs) < 2:
        return ""
    wide, read = beam.section.width, [one for one in squares if one is not None]
    apart = runs[0].value - runs[1].value
    rest = apart - sum((one.value for one in read), Fraction(0)) * wide
    allowed = apart_off(read_with(beam, runs[0]), read_with(beam, runs[1]))
    allowed += sum((one.off for one in read), Fraction(0)) * wide
    if abs(rest) <= allowed:
        return ""
    which = f"the wall at end {unread[0]} is" if read else "a wall is"
    where = f"end {unread[0]}" if read else "each wall"
    return (
        "Which end's back must be beveled isn't known: side A and side B of "
        f"{beam.label} differ by {in_sentence(abs(apart), beam.habits.step)}, wall to "
        f"wall, so {which} out of square. Measure {where} with the square."
    )


def out_of_square(beam: Beam) -> str | None:
    """Return None unless a square found a wall out of square, or the sides' lengths differ by more
    than their uncertainty; else the beginning of a sentence that says so."""
    for end in (1, 2):
        square = beam.pair.square(end)
        if square is not None and square.reading.ratio:
            return f"The wall at end {end} of {beam.label} is out of square"
    runs = runs_of(beam)
    if len(runs) < 2:
        return None
    apart = abs(runs[0].value - runs[1].value)
    if apart <= apart_off(read_with(beam, runs[0]), read_with(beam, runs[1])):
        return None
    by = in_sentence(apart, beam.habits.step)
    return f"Side A and side B of {beam.label} differ by {by}, wall to wall"


def guessed_ends(ends: Sequence[BoardEnd], unread: Sequence[int]) -> list[int]:
    """Return the ends that are cut square only because their wall wasn't checked with a square."""
    return [end.end for end in ends if end.end in unread and end.known and end.longer is None]


def taken_as_square(ends: Sequence[BoardEnd], unread: Sequence[int]) -> str:
    """Return the sentence for ends cut square only because their wall wasn't checked with a square
    (`unread`); "" if there are none."""
    guessed = guessed_ends(ends, unread)
    where = "both ends" if len(guessed) == len(BOTH) else f"end {guessed[0]}" if guessed else ""
    return f"Taken as square at {where}: no square was held there." if guessed else ""

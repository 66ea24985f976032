"""The cuts of the boards that lie flat between the walls: the bottom and the top."""

from collections.abc import Mapping
from fractions import Fraction
from typing import NamedTuple

from crewdesk.errors import BadInput
from crewdesk.job.as_built import board_as_cut, height_as_cut, off_center, section_as_cut
from crewdesk.job.beam import Beam
from crewdesk.job.how_sure import read_with, squares_of
from crewdesk.job.piece import OwnCut, Piece
from crewdesk.job.readings import Reading
from crewdesk.job.walls import BOTH, skew_at, wall_ratio, walls_of
from crewdesk.length import Length, exact
from crewdesk.trade.cuts.board_end import WallAt
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

    `typed` replaces readings of the record and `own` for the record's own cut.
    That of the record is worked out once. Raises `BadInput`, as where a cut of one's own is over
    its reading without a reason.
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
    """Return why the user's own lengths of a bottom can't be cut by today's readings, as where
    one is over its reading; None where they can, or where the readings make no board at all."""
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
    """Where a top board goes: `rooms` are the distances between the walls along its edges A and
    B at its upper face, in inches; `walls` come in per inch below that face."""

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
    """Return where the top board goes, from both sides' readings at its own height; None until
    they are all there. Raises `BadInput`.

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
    """Return a value that far on from side A to side B; both are known."""
    assert at_a is not None
    assert at_b is not None
    return at_a + (at_b - at_a) * part

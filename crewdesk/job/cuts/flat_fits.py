"""A bottom or a top tried in its room by itself."""

import math
from fractions import Fraction

from crewdesk.job.beams.beam import Beam
from crewdesk.job.beams.piece import Piece
from crewdesk.job.cuts.as_built import board_as_cut, flat_as_cut, room_across
from crewdesk.job.cuts.bottoms import top_room_of
from crewdesk.job.cuts.marks import BottomMarks, marks
from crewdesk.job.cuts.walls import comes_in, walls_of
from crewdesk.length import Step, rounded
from crewdesk.trade.cuts.board_end import BoardEnd, slants
from crewdesk.trade.cuts.dry_fit import DryFit, FlatBoard, FlatEnd, FlatRoom, flat_fit

_NONE = Fraction(0)


def is_measured(beam: Beam, piece: Piece) -> bool:
    """Return whether the readings make a bottom or a top. Raises `BadInput`."""
    made = marks(beam, piece)
    return isinstance(made, BottomMarks) and made.cut is not None


def flat_fit_of(beam: Beam, piece: Piece, step: Step, *, square: bool) -> DryFit | None:
    """Return how a bottom or a top fits by itself, its lengths rounded to `step`; its walls and
    edges are taken at its own height. Where it was kept as cut it is that board.

    None until it is measured, and while the slant of an end isn't known, unless the board was
    cut `square` for that. Raises `BadInput`.
    """
    made = marks(beam, piece)
    if not isinstance(made, BottomMarks) or made.cut is None:
        return None
    if piece.kind == "top":
        room = top_room_of(beam)
        assert room is not None
        walls, up = room.walls, (-room.walls[0].comes_in, -room.walls[1].comes_in)
    else:
        walls = walls_of(beam, square=piece.latest("edge_b") is None)
        up = (comes_in(beam, 1), comes_in(beam, 2))
    form, cut = board_as_cut(beam, piece.key), flat_as_cut(beam, piece.key, made.cut)
    slant1, slant2 = slants(made.cut.rooms[0] - made.cut.rooms[1], cut.width, walls)
    end1, end2 = (_end(end, step, square=square) for end in cut.ends)
    if slant1 is None or slant2 is None or end1 is None or end2 is None:
        return None
    inset = form.width - form.back_width
    mitered, scribed = form.first_edge == "mitre", form.second_edge == "scribed"
    meant = step.size + (_NONE if mitered else beam.section.fit)
    return flat_fit(
        FlatRoom(
            made.cut.rooms[0],
            (slant1, slant2),
            (walls[0].comes_in, walls[1].comes_in),
            room_across(beam, piece.key) - (beam.section.fit if mitered else _NONE),
            up,
            float(form.width) * math.sin(math.radians(abs(form.tilt))),
            None if scribed else meant,
        ),
        FlatBoard(
            rounded(cut.edge_a, step.size, "down"),
            rounded(form.width, step.size, "down"),
            form.thickness,
            (end1, end2),
            (inset, _NONE) if scribed else (inset / 2, inset / 2),
        ),
    )


def _end(end: BoardEnd, step: Step, *, square: bool) -> FlatEnd | None:
    """Return an end with its offset rounded as it is shown; or None if its slant is not known and
    it wasn't cut `square` for that."""
    if end.offset is None:
        return FlatEnd(_NONE, end.flat, end.back_short) if square else None
    offset = rounded(end.offset, step.size, end.way(step.size))
    return FlatEnd(offset, end.flat, end.back_short)

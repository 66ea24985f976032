"""Try a beam's boards, as cut or else as marked, in the measured room."""

from collections.abc import Mapping
from fractions import Fraction
from typing import TYPE_CHECKING, NamedTuple

from crewdesk.job.beams.beam import Beam
from crewdesk.job.beams.measured import BOTH
from crewdesk.job.beams.piece import Piece
from crewdesk.job.beams.plausibility import doubt
from crewdesk.job.beams.readings import Reading
from crewdesk.job.cuts.as_built import flat_as_cut, height_as_cut, off_center, side_as_cut
from crewdesk.job.cuts.as_cut import BACK_BEVEL, as_it_was, cuts, taken_for_kept
from crewdesk.job.cuts.bottoms import EDGE_B, square_unread, top_room_of, unread_edge
from crewdesk.job.cuts.changed_cuts import changed_cuts, held_cuts
from crewdesk.job.cuts.cut_figures import AsCut
from crewdesk.job.cuts.flat_fits import flat_fit_of, is_measured
from crewdesk.job.cuts.goes_in import cut_without_slant
from crewdesk.job.cuts.mark_list import NO_SLANT_KNOWN
from crewdesk.job.cuts.marks import BottomMarks, SideMarks, marks
from crewdesk.job.cuts.step_figures import DEGREES
from crewdesk.job.cuts.walls import side_fit_of, skew_at, wall_ratio
from crewdesk.length import STEPS, Step, exact, rounded
from crewdesk.trade.cuts.board_end import WallAt, slants
from crewdesk.trade.cuts.dry_fit import DryFit

if TYPE_CHECKING:
    from crewdesk.trade.cuts.frame_fit import Corner, FrameWay, WallPlane

TO_LENGTH = {"side": "cut-side", "bottom": "cut-bottom", "top": "fix-top"}
"""By kind, the step that cuts a board to its length."""
_LAST_CUT = {**TO_LENGTH, "cleats": "fix-cleats"}
"""The same, with the step that cuts cleats to length."""
NOT_MEASURED = "not measured yet"
NO_FIGURES = "nothing says what it was cut to"
_SLANT = f"{NO_SLANT_KNOWN}, then it can be tried"
_CUT_SQUARE = (
    "Its slant wasn't known when it was cut, so it is tried with square ends and edge A's length. "
    "Hold a square to both of its ends."
)
_NONE = Fraction(0)


def is_cut(piece: Piece) -> bool:
    """Return whether a piece is cut to its length."""
    mark = piece.steps.get(_LAST_CUT[piece.kind])
    return mark is not None and mark.state == "done"


class Tried(NamedTuple):
    """The result of trying a board: its fit, or `why` there is none.

    as_cut: whether the board as cut was tried. doubts: doubts about its room's readings. may:
    whether a cut board that is over may still go in, since it is over by no more than its
    uncertainty.
    """

    fit: DryFit | None
    why: str = ""
    as_cut: bool = False
    doubts: tuple[str, ...] = ()
    may: bool = False


class _Board(NamedTuple):
    """A board in its beam, with every cut board as it was cut; `step` is the step of its lengths,
    `cut` its own cut, or None if it isn't cut."""

    beam: Beam
    piece: Piece
    step: Step
    cut: AsCut | None


def dry_fit_of(
    beam: Beam, piece: Piece, step: Step, typed: Mapping[str, Reading] | None = None
) -> DryFit | None:
    """Return how a board fits; None if that isn't known (see `tried`). Raises `BadInput`."""
    if piece.kind not in TO_LENGTH:
        return None
    beam, piece = _with_typed(beam, piece, typed)
    return _fit(beam, piece, _board(beam, piece, step))[0]


def tried(
    beam: Beam, piece: Piece, step: Step, typed: Mapping[str, Reading] | None = None
) -> Tried:
    """Try a side, bottom or top: as cut if its cut to length is checked off, else as marked to
    `step`. Raises `BadInput`.

    typed: replaces the record's readings, by name. There is no result while readings are missing,
    or while a bottom's edge or slant is unknown.
    """
    if piece.kind not in TO_LENGTH:
        return Tried(None)
    beam, piece = _with_typed(beam, piece, typed)
    board = _board(beam, piece, step)
    fit, why = _fit(beam, piece, board)
    if why == NO_FIGURES:
        return Tried(None, why, as_cut=True)
    doubted = [doubt(beam, piece, what) for what in piece.takes if what != "reveal"]
    if piece.kind == "side" and BACK_BEVEL not in piece.steps:
        doubted.append(square_unread(beam))
    if fit is not None and _cut_without_slant(board):
        doubted.append(_CUT_SQUARE)
    doubts = tuple(dict.fromkeys(one for one in doubted if one))
    may = board.cut is not None and fit is not None and _may_go_in(beam, piece, fit)
    return Tried(fit, why, board.cut is not None, doubts, may)


def _with_typed(
    beam: Beam, piece: Piece, typed: Mapping[str, Reading] | None
) -> tuple[Beam, Piece]:
    if not typed:
        return beam, piece
    piece = piece.with_typed(typed)
    return beam.with_pieces({**beam.pieces, piece.key: piece}), piece


def _fit(beam: Beam, piece: Piece, board: _Board) -> tuple[DryFit | None, str]:
    """Return how a piece's `board` fits, or why that isn't known."""
    if board.cut is not None and not board.cut.figures:
        return None, NO_FIGURES
    if piece.kind == "side":
        return _side(board)
    why = ""
    if piece.kind == "bottom":
        why = unread_edge(beam, piece, EDGE_B) or ""
        why = NOT_MEASURED if piece.latest("opening") is None else why
    why = next((one.told for one in held_cuts(beam) if one.clash), why)
    return (None, why) if why else _flat(board)


def _may_go_in(beam: Beam, piece: Piece, fit: DryFit) -> bool:
    """Return whether a cut board is over by no more than the tolerance for cuts."""
    every = [one for one in changed_cuts(beam) if one.spot.piece == piece.key]
    noted = [one for one in every if not (one.held or one.kept)]
    lengths = (one for cut in noted for one in cut.figures if not one.name.endswith(DEGREES))
    most = max((abs(one.off) for one in lengths), default=_NONE)
    return bool(fit.over) and exact(fit.over) <= most and len(noted) == len(every)


def _board(beam: Beam, piece: Piece, step: Step) -> _Board:
    mark = piece.steps.get(TO_LENGTH[piece.kind])
    built = beam_as_cut(beam)
    if mark is None or mark.state != "done":
        return _Board(built, built.pieces[piece.key], step, None)
    cut = as_it_was(beam, piece, TO_LENGTH[piece.kind], mark)
    return _Board(built, built.pieces[piece.key], STEPS[cut.step], cut)


def beam_as_cut(beam: Beam) -> Beam:
    """Return the beam with every checked-off cut treated as kept, so that each board is as it was
    cut; computed once for each beam."""
    return beam.once("as cut", lambda: _beam_as_cut(beam))


def _beam_as_cut(beam: Beam) -> Beam:
    made = {
        (piece.key, id_): as_it_was(beam, piece, id_, mark)
        for piece in beam.pieces.values()
        for id_, mark in piece.steps.items()
        if mark.state == "done" and cuts(id_, piece)
    }
    return taken_for_kept(beam, made)


def _side(board: _Board) -> tuple[DryFit | None, str]:
    fit = side_fit_of(board.beam, board.piece, board.step)
    if fit is None:
        return None, NOT_MEASURED
    return _up_as_one(board.beam, fit, board.step), ""


def _flat(board: _Board) -> tuple[DryFit | None, str]:
    """Return a bottom's or top's fit between walls and edges at its own height."""
    beam, piece = board.beam, board.piece
    if not is_measured(beam, piece):
        return None, NOT_MEASURED
    fit = flat_fit_of(beam, piece, board.step, square=_cut_without_slant(board))
    if fit is None:
        return None, _SLANT
    return (_up_as_one(beam, fit, board.step) if piece.kind == "top" else fit), ""


def _cut_without_slant(board: _Board) -> bool:
    return board.cut is not None and cut_without_slant(board.cut)


# The sides and the top of a box go up as one.


def _up_as_one(beam: Beam, fit: DryFit, step: Step) -> DryFit:
    """Return a board's fit with the way up of its frame, once the frame is fully known."""
    if fit.over and fit.way == "no way":
        return fit
    way = _frame(beam, step)
    if way is None:
        return fit
    return fit._replace(way=way.way, jams=Fraction(way.jams), as_one=True, first=way.first)


def _frame(beam: Beam, step: Step) -> "FrameWay | None":
    """Return how the sides and the top go up together; None without a top or with unknowns.

    Walls without a square's reading share the difference of the sides' lengths.
    """
    top = beam.pieces.get("top")
    if top is None or top_room_of(beam) is None:
        return None
    from crewdesk.trade.cuts.frame_fit import WallPlane, frame_way  # few beams have a top

    runs = [run.value for key in ("A", "B") if (run := beam.pieces[key].latest("run"))]
    wide, apart = beam.section.width, runs[0] - runs[1]
    held = [skew_at(beam, end) for end in BOTH]
    across = slants(apart, wide, [WallAt(_NONE, one) for one in held])
    walls = []
    for end, offset in zip(BOTH, across, strict=True):
        leans = [wall_ratio(beam, beam.pieces[key], end) or _NONE for key in ("A", "B")]
        turn = apart / 2 / wide if offset is None else offset / wide
        walls.append(WallPlane(float(turn), (float(leans[0]), float(leans[1])), float(wide)))
    corners: tuple[list[Corner], list[Corner]] = ([], [])
    for key, length_there, y in (("A", runs[0], 0.0), ("B", runs[1], float(wide))):
        made = marks(beam, beam.pieces[key])
        cut = made.cut if isinstance(made, SideMarks) else None
        cut = None if cut is None else side_as_cut(beam, key, cut)
        if cut is None:
            return None
        high, length = float(cut.height), float(rounded(cut.bottom_length, step.size, "down"))
        gap = (float(length_there) - length) / 2
        for at, offset in enumerate((cut.end1.offset, cut.end2.offset)):
            back = float(rounded(offset, step.size, "up"))
            start = gap + walls[at].comes_in(y, 0.0)
            for x, z in ((start, 0.0), (start + back, high)):
                corners[at].append((x if not at else float(runs[0]) - x, y, z))
    _top_corners(beam, step, walls, float(runs[0]), corners)
    return frame_way(corners, (walls[0], walls[1]), float(runs[0]))


def _top_corners(
    beam: Beam,
    step: Step,
    walls: "list[WallPlane]",
    run: float,
    corners: "tuple[list[Corner], list[Corner]]",
) -> None:
    """Add the top's corners at its upper face, the longer one between walls that go out, flush with
    the sides' upper edges."""
    made = marks(beam, beam.pieces["top"])
    if not isinstance(made, BottomMarks) or made.cut is None:
        return
    cut = flat_as_cut(beam, "top", made.cut)
    high = float(max(height_as_cut(beam, "A"), height_as_cut(beam, "B")))
    wide = float(beam.section.width)
    near = (wide - float(cut.width)) / 2 + float(off_center(beam))
    for y, edge, room in (
        (near, cut.edge_a, made.cut.rooms[0]),
        (near + float(cut.width), cut.edge_b, made.cut.rooms[1]),
    ):
        gap = (float(room) - float(rounded(edge, step.size, "down"))) / 2
        for at in (0, 1):
            x = gap + walls[at].comes_in(y, high)
            corners[at].append((x if not at else run - x, y, high))

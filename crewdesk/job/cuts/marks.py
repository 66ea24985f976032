"""The marks of a piece, from its beam's section and its readings."""

from collections.abc import Mapping
from fractions import Fraction
from typing import NamedTuple, TypeVar, cast

from crewdesk.errors import BadInput
from crewdesk.job.beams.beam import IT_IS_CUT, Beam
from crewdesk.job.beams.forms import check_thickness
from crewdesk.job.beams.measured import BOTH
from crewdesk.job.beams.piece import Piece
from crewdesk.job.beams.readings import Reading
from crewdesk.job.cuts.as_built import (
    board_as_cut,
    built_figure,
    cleat_line_as_marked,
    flat_as_cut,
    section_as_cut,
    side_as_cut,
    side_thickness,
)
from crewdesk.job.cuts.bottoms import cut_of, own_refused, reads_as_one, top_cut_of
from crewdesk.job.cuts.cleats import cleat_line_of, cleat_line_to_mark, cleats_of
from crewdesk.job.cuts.walls import behind_side, side_cut_of
from crewdesk.length import Length, exact
from crewdesk.trade.angle import arctangent
from crewdesk.trade.cuts.bottom_cut import BottomCut
from crewdesk.trade.cuts.cleat import CLEAT, CleatCut
from crewdesk.trade.cuts.forms import FormBoard, Joint
from crewdesk.trade.cuts.section import Section
from crewdesk.trade.cuts.side_board import End, Side, SideCut

NONE_KEPT: Mapping[str, str] = {}
"""No cut of the piece was kept. Else `kept` has the reason by figure, `built` the marks as the
board was cut, and `asked` the figures whose cut needs another answer (see
`crewdesk.job.cuts.changed_cuts`)."""
_NONE_ASKED: frozenset[str] = frozenset()
_NOTHING = Fraction(1, 10**9)
"""The smallest amount to take off, in inches: less would show as 0."""


class BackRelief(NamedTuple):
    """What a side's back must lose at an end whose show face has more room: `by` inches at
    the back face at least, `deg` degrees off square. On a slope a compound cut does it."""

    by: Length
    deg: float
    compound: bool = False


class SideMarks(NamedTuple):
    """A side board's marks.

    `height` is its width at the show face, `back_height` at its back. `blade` tilts its bottom edge
    and `top_blade` its top edge, in degrees, 0 if the edge is square; `bottom_joint` and
    `top_joint` say what for. `cleat_line` is None if there are no cleats; `cut` is None until all
    of its readings are there, and the pitch where the beam is sloped. `reliefs` are what its back
    must lose at end 1 and end 2, or None if nothing or not known. `thickness` is its stock's.
    """

    height: Fraction
    blade: Fraction
    cleat_line: Length | None
    cut: SideCut | None
    back_height: Length
    top_blade: Fraction
    bottom_joint: Joint = "square"
    top_joint: Joint = "square"
    reliefs: tuple[BackRelief | None, BackRelief | None] = (None, None)
    thickness: Fraction = Fraction(3, 4)
    built: "SideMarks | None" = None
    kept: Mapping[str, str] = NONE_KEPT
    asked: frozenset[str] = _NONE_ASKED


class BottomMarks(NamedTuple):
    """The marks of a bottom or a top board, whose show face is its outer one.

    `flat` and `bevel` are those of its long edges, `joints` what edge A and edge B are; `cut` is
    None until it is measured, of a top board until both sides are. `tilt` is how it lies on
    purpose, in degrees, positive if edge A is the lower. `own` is whether the user chose its length
    along edge A, `own_b` whether along edge B too; one that can't be cut by today's readings isn't
    taken (see `own_refused`). `stock` is what it has in width to be scribed to a wall, in inches.

    `asks` says what must be read before it is cut, where one line was read and the walls are out
    of square. Unless squares at both walls say how edge B differs, or the lengths are the user's,
    there is no `cut` then: `by_line` is what that one line would make.
    """

    width: Fraction
    back_width: Length
    flat: Fraction
    bevel: Fraction
    cut: BottomCut | None = None
    own: bool = False
    joints: tuple[Joint, Joint] = ("square", "square")
    tilt: float = 0.0
    thickness: Fraction = Fraction(3, 4)
    top: bool = False
    own_b: bool = False
    stock: Fraction = Fraction(0)
    built: "BottomMarks | None" = None
    kept: Mapping[str, str] = NONE_KEPT
    asked: frozenset[str] = _NONE_ASKED
    asks: str = ""
    by_line: BottomCut | None = None

    @property
    def length(self) -> Length | None:
        """The longer edge, in inches: what the board is cut from."""
        return None if self.cut is None else max(self.cut.edge_a, self.cut.edge_b)


class CleatMarks(NamedTuple):
    """The cleats of a beam: `line` is the lower edge of the first, up the inside of its side."""

    line: Length
    cleats: tuple[CleatCut, ...]
    built: "CleatMarks | None" = None
    kept: Mapping[str, str] = NONE_KEPT
    asked: frozenset[str] = _NONE_ASKED

    @property
    def lengths(self) -> tuple[Length | None, ...]:
        """The cleats' lengths in inches, side A's first; None until they are known."""
        return tuple(one.length for one in self.cleats)


Marks = SideMarks | BottomMarks | CleatMarks
AnyMarks = TypeVar("AnyMarks", bound=Marks)


def marks(
    beam: Beam,
    piece: Piece,
    typed: Mapping[str, Reading] | None = None,
    projection: Fraction = CLEAT,
) -> Marks:
    """Return the marks of one piece by its readings, and as it was cut if that was kept.

    `typed` replaces readings of the record, by name, so that a cut can be seen before anything is
    saved; `projection` is how far the job's cleats reach off the sides, in inches. Those of the
    record's own readings are computed once. Raises `BadInput` if the readings make no board.
    """
    if typed is None and beam.pieces.get(piece.key) is piece:
        name = f"marks of {piece.key}, cleats {projection}"
        return beam.once(name, lambda: _marks(beam, piece, None, projection))
    return _marks(beam, piece, typed, projection)


def _marks(
    beam: Beam, piece: Piece, typed: Mapping[str, Reading] | None, projection: Fraction
) -> Marks:
    made = _by_readings(beam, piece, typed, projection)
    if not any(beam.why_kept(piece, id_) for id_, mark in piece.steps.items() if mark.cut):
        return made
    reasons = {
        name: beam.why_kept(piece, step_id) or IT_IS_CUT
        for step_id, mark in piece.steps.items()
        if mark.cut is not None and beam.is_built(piece, step_id)
        for name in mark.cut.figures
    }
    if isinstance(made, SideMarks):
        return made._replace(built=_side_built(beam, piece, made), kept=reasons)
    if isinstance(made, BottomMarks):
        return made._replace(built=_flat_built(beam, piece, made), kept=reasons)
    cleats = tuple(_cleat_built(beam, one) for one in made.cleats)
    return made._replace(built=made._replace(cleats=cleats), kept=reasons)


def as_it_is(made: AnyMarks) -> AnyMarks:
    """Return the marks that a board has: as it was cut if that was kept, else by today's
    readings."""
    return made if made.built is None else cast(AnyMarks, made.built)


def _side_built(beam: Beam, piece: Piece, made: SideMarks) -> SideMarks:
    """Return a side's marks as cut, if kept."""
    was, board = beam.built[piece.key], board_as_cut(beam, piece.key)
    line, reliefs = made.cleat_line, list(made.reliefs)
    for at in (0, 1):
        if (one := was.get(f"relief{at + 1}")) is not None:
            thick = side_thickness(beam, piece.key)
            old = reliefs[at]
            compound = old is not None and old.compound
            cut = BackRelief(one.exact, arctangent(one.exact / thick), compound)
            reliefs[at] = None if not one.exact else cut
    return made._replace(
        height=board.width,
        back_height=board.back_width,
        blade=board.first_blade,
        top_blade=board.second_blade,
        bottom_joint=board.first_edge,
        top_joint=board.second_edge,
        thickness=board.thickness,
        cleat_line=None if line is None else cleat_line_as_marked(beam, piece.key, line),
        cut=side_as_cut(beam, piece.key, made.cut),
        reliefs=(reliefs[0], reliefs[1]),
    )


def _flat_built(beam: Beam, piece: Piece, made: BottomMarks) -> BottomMarks:
    """Return a bottom's or top's marks as cut, if kept."""
    board, cut = board_as_cut(beam, piece.key), made.cut
    if built_figure(beam, piece.key, "edge_a") is not None:
        cut = cut or made.by_line
    relieved = board.first_edge == "relief"
    chosen = made.own and _chosen_now(beam, piece)
    return made._replace(
        own=chosen,
        own_b=made.own_b and chosen,
        width=board.width,
        back_width=board.back_width,
        flat=section_as_cut(beam, piece.key).flat if relieved else Fraction(0),
        bevel=board.first_blade,
        joints=(board.first_edge, board.second_edge),
        stock=board.stock,
        thickness=board.thickness,
        cut=None if cut is None else flat_as_cut(beam, piece.key, cut),
    )


def _chosen_now(beam: Beam, piece: Piece) -> bool:
    """Return whether a bottom was cut to your own lengths, or isn't cut yet."""
    own = piece.own_cut
    edges = (built_figure(beam, piece.key, "edge_a"), built_figure(beam, piece.key, "edge_b"))
    if own is None or edges == (None, None):
        return own is not None
    return edges[0] == own.edge_a


def _cleat_built(beam: Beam, made: CleatCut) -> CleatCut:
    """Return a cleat as cut, if kept."""
    start, length = (built_figure(beam, "cleats", f"{what}_{made.on}") for what in _OF_CLEAT)
    return made._replace(
        start=made.start if start is None else start,
        length=made.length if length is None else length,
    )


_OF_CLEAT = ("start", "length")


def _by_readings(
    beam: Beam, piece: Piece, typed: Mapping[str, Reading] | None, projection: Fraction
) -> Marks:
    if piece.kind == "cleats":
        cleats = cleats_of(beam, projection)
        line = cleats[0].line if cleats else cleat_line_of(beam, "A", projection)
        return CleatMarks(line, cleats)
    check_thickness(beam.form.id, beam.section)
    board = beam.boards[piece.key]
    if piece.kind == "side":
        return _side(beam, piece, board, typed, projection)
    if own_refused(beam, piece, typed) is not None:
        piece = piece._replace(own_cut=None)
    cut = cut_of(beam, piece, typed) if piece.kind == "bottom" else top_cut_of(beam)
    own = piece.own_cut
    edges, bevel = edges_ripped(beam.section, board)
    asks, by_line = "", None
    if piece.kind == "bottom" and (asks := reads_as_one(beam, piece.with_typed(typed))):
        cut, by_line = _by_one_line(beam, cut, own=own is not None)
    return BottomMarks(
        board.width,
        board.back_width,
        beam.section.flat if board.first_edge == "relief" else Fraction(0),
        bevel,
        cut,
        own is not None,
        edges,
        board.tilt,
        board.thickness,
        piece.kind == "top",
        own is not None and cut is not None and cut.edge_b == own.edge_b,
        board.stock,
        asks=asks,
        by_line=by_line,
    )


def edges_ripped(section: Section, board: FormBoard) -> tuple[tuple[Joint, Joint], Fraction]:
    """Return what a bottom's or top's edges A and B are, and their bevel in degrees."""
    edges = (board.first_edge, board.second_edge)
    if board.first_edge != "relief" or section.flat < board.thickness:
        return edges, board.first_blade
    # Nothing is left for the relief to take.
    return ("square", "square" if edges[1] == "relief" else edges[1]), Fraction(0)


def _by_one_line(
    beam: Beam, made: BottomCut | None, *, own: bool
) -> tuple[BottomCut | None, BottomCut | None]:
    """Return the known marks of a bottom measured along one line between walls out of square:
    without slants, and without lengths except your own, unless both walls were checked with a
    square."""
    if made is None or all(beam.pair.square(end) is not None for end in BOTH):
        return made, None
    if not own:
        return None, made
    first, second = (end._replace(offset=None, miter_deg=None) for end in made.ends)
    return made._replace(ends=(first, second)), None


def _side(
    beam: Beam,
    piece: Piece,
    board: FormBoard,
    typed: Mapping[str, Reading] | None,
    projection: Fraction,
) -> SideMarks:
    side: Side = "A" if piece.key == "A" else "B"
    line = cleat_line_to_mark(beam, side, projection) if "cleats" in piece.traits else None
    first, second = (_relief(beam, piece, end, typed) for end in BOTH)
    return SideMarks(
        board.width,
        board.first_blade,
        line,
        side_cut_of(beam, piece, typed),
        board.back_width,
        board.second_blade,
        board.first_edge,
        board.second_edge,
        (first, second),
        board.thickness,
    )


def _relief(
    beam: Beam, piece: Piece, end: End, typed: Mapping[str, Reading] | None
) -> BackRelief | None:
    """Return what a side's back must lose at an end; None if its show face has no more room."""
    behind = behind_side(beam, piece, end, typed)
    if behind is None:
        return None
    by = side_thickness(beam, piece.key) * behind
    if by <= _NOTHING:
        return None
    sloped = beam.ceiling == "sloped" and beam.pitch is not None
    return BackRelief(by, arctangent(behind), sloped)


def length_to_cut(beam: Beam, piece: Piece) -> Fraction | None:
    """Return the length that a board is cut to by its readings, in inches: a side's blank, a
    bottom's or top's length; None where it isn't measured."""
    try:
        made = marks(beam, piece)
    except BadInput:
        return None
    if isinstance(made, SideMarks) and made.cut is not None:
        return exact(made.cut.blank)
    if isinstance(made, BottomMarks) and made.length is not None:
        return exact(made.length)
    return None


def known_length(beam: Beam, piece: Piece) -> Fraction | None:
    """Return about how long a piece is, in inches: the length it is cut to, or a wall-to-wall
    reading, or the rough length of its beam. No board is cut by it."""
    if (length := length_to_cut(beam, piece)) is not None:
        return length
    known = [run.value for one in beam.pieces.values() if (run := one.latest("run"))]
    return max(known, default=beam.rough)

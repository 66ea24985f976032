"""How each machine is set for a batch, so that it is set as few times as possible."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction

from crewdesk.job.beam import Beam
from crewdesk.job.marks import BottomMarks, CleatMarks, SideMarks, marks
from crewdesk.job.piece import Piece
from crewdesk.job.record import Record
from crewdesk.job.scribing import scribe_of
from crewdesk.job.ticks import Spot
from crewdesk.trade.cuts.nails import Stack, longest_nail
from crewdesk.trade.cuts.section import Section, cleat_line
from crewdesk.trade.cuts.settings import Need, Setting, setting_sheet
from crewdesk.trade.cuts.side_board import SideCut
from crewdesk.trade.length import exact
from crewdesk.trade.refusal import Refusal

CLEAT = Fraction(3, 4)
"""A cleat's width and thickness in inches (common practice, no source)."""
EASED = Fraction(1, 8)
"""Radius of an eased edge in inches (common practice, no source)."""
DEGREES = ("blade tilt",)
"""The parts of a setting that are degrees; all others are inches."""
STOP = "stop"
"""The part that is a bottom board's length, which must never be cut over."""

_Asked = tuple[str, Setting]


@dataclass(frozen=True)
class Group:
    """Pieces that are worked under one setting, the longest first.

    `machine` is empty and `setting` too where a step sets no machine, or where a
    piece's setting can't be known yet.
    """

    machine: str
    setting: Setting
    spots: tuple[Spot, ...]


@dataclass(frozen=True)
class BatchSettings:
    """A batch's groups; how often a machine is set this way, and beam by beam."""

    groups: tuple[Group, ...]
    times_set: int
    beam_by_beam: int


def batch_settings(record: Record, step_id: str, spots: Iterable[Spot]) -> BatchSettings:
    """A batch grouped so that machines are set least often (see `setting_sheet`)."""
    needs, without = [], []
    for spot in spots:
        beam = record.beam(spot.beam)
        piece = beam.piece(spot.piece)
        asked = setting_of(beam, piece, step_id)
        if asked is None:
            without.append(spot)
        else:
            needs.append(Need(_name(spot), asked[0], _length(beam, piece), asked[1]))
    sheet = setting_sheet(needs)
    groups = [
        Group(one.machine, one.setting, tuple(_spot(need.piece) for need in one.needs))
        for one in sheet.groups
    ]
    if without:
        groups.append(Group("", (), tuple(without)))
    return BatchSettings(tuple(groups), sheet.times_set, sheet.beam_by_beam)


def _name(spot: Spot) -> str:
    return f"{spot.beam} {spot.piece}"


def _spot(name: str) -> Spot:
    beam, _, piece = name.partition(" ")
    return Spot(beam, piece)


def setting_of(beam: Beam, piece: Piece, step_id: str) -> _Asked | None:
    """The machine and its setting for one step of one piece, or None."""
    make = _SETTINGS.get(step_id)
    if make is None:
        return None
    try:
        return make(beam, piece)
    except Refusal:
        return None


def _length(beam: Beam, piece: Piece) -> Fraction:
    """How long a piece is, as far as is known, in inches."""
    try:
        made = marks(beam, piece)
    except Refusal:
        return Fraction(0)
    if isinstance(made, SideMarks) and made.cut is not None:
        return exact(made.cut.blank)
    if isinstance(made, BottomMarks) and made.length is not None:
        return made.length
    known = [run.value for one in beam.pieces.values() if (run := one.latest("run"))]
    return max(known, default=Fraction(0))


def _fence(width: Callable[[Section], Fraction]) -> Callable[[Beam, Piece], _Asked]:
    return lambda beam, _: ("table saw, square", (("fence", width(beam.section)),))


def _rip_side(beam: Beam, piece: Piece) -> _Asked:
    board = beam.boards[piece.key]
    if board.first_blade:
        return "table saw, tilted", (("blade tilt", board.first_blade), ("fence", board.width))
    return "table saw, square", (("fence", board.width),)


def _rip_bottom(beam: Beam, piece: Piece) -> _Asked:
    board = beam.boards[piece.key]
    return "table saw, tilted", (("blade tilt", board.first_blade), ("fence", board.width))


def _cut_side(beam: Beam, piece: Piece) -> _Asked | None:
    made = marks(beam, piece)
    if not isinstance(made, SideMarks) or made.cut is None:
        return None
    cut: SideCut = made.cut
    return "saw stop", (("blank", exact(cut.blank)),)


def _cut_bottom(beam: Beam, piece: Piece) -> _Asked | None:
    made = marks(beam, piece)
    if not isinstance(made, BottomMarks) or made.length is None:
        return None
    return "mitre saw", (("blade tilt", made.bevel), (STOP, made.length))


def _scribe(beam: Beam, _piece: Piece) -> _Asked | None:
    made = scribe_of(beam)
    return None if made is None else ("scriber", (("opening", made.setting),))


def _cleat_nails(beam: Beam, piece: Piece) -> _Asked | None:
    if not isinstance(marks(beam, piece), CleatMarks):
        return None
    nail = longest_nail(Stack((CLEAT, beam.section.side_thickness)))
    return "nailer", (("nail", nail.length),)


def _bottom_nails(beam: Beam, _piece: Piece) -> _Asked:
    nail = longest_nail(Stack((beam.section.bottom_thickness, CLEAT)))
    return "nailer", (("nail", nail.length),)


_SETTINGS: Mapping[str, Callable[[Beam, Piece], _Asked | None]] = {
    "rip-side": _rip_side,
    "rip-bottom": _rip_bottom,
    "rip-top": _rip_side,
    "rip-cleats": _fence(lambda _: CLEAT),
    "ease": lambda _beam, _piece: ("router", (("radius", EASED),)),
    "cleat-line": lambda beam, _: ("marking gauge", (("line", cleat_line(beam.section)),)),
    "cut-side": _cut_side,
    "scribe": _scribe,
    "fix-cleats": _cleat_nails,
    "cut-bottom": _cut_bottom,
    "nail-bottom": _bottom_nails,
}

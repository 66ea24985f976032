"""How each machine is set for a batch, so that it is set as few times as possible."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction

from crewdesk.job.beam import Beam
from crewdesk.job.marks import BottomMarks, SideMarks, marks
from crewdesk.job.nails import NAILED, nail_for
from crewdesk.job.piece import Piece, Spot
from crewdesk.job.record import Record
from crewdesk.job.refused import said
from crewdesk.job.scribing import scribe_of
from crewdesk.trade.cuts.profile import CLEAT
from crewdesk.trade.cuts.section import Section, cleat_line
from crewdesk.trade.cuts.settings import Need, Setting, setting_sheet
from crewdesk.trade.cuts.side_board import SideCut
from crewdesk.trade.length import exact
from crewdesk.trade.refusal import Refusal

EASED = Fraction(1, 8)
"""Radius of an eased edge in inches (common practice, no source)."""
DEGREES = ("blade tilt",)
"""The parts of a setting that are degrees; all others are inches."""
STOP = "stop at the show face"
"""The part that is a bottom board's length, which must never be cut over."""

_LEANING = "table saw, tilted away from the fence"

_Asked = tuple[str, Setting]


@dataclass(frozen=True)
class Group:
    """Pieces that are worked under one setting, the longest first.

    `machine` is empty and `setting` too where a step sets no machine, or where a
    piece's setting can't be known yet; `why` then says what is wrong with it, if anything.
    """

    machine: str
    setting: Setting
    spots: tuple[Spot, ...]
    why: str = ""


@dataclass(frozen=True)
class BatchSettings:
    """A batch's groups; how often a machine is set this way, and beam by beam."""

    groups: tuple[Group, ...]
    times_set: int
    beam_by_beam: int


def batch_settings(record: Record, step_id: str, spots: Iterable[Spot]) -> BatchSettings:
    """A batch grouped so that machines are set least often (see `setting_sheet`)."""
    needs = []
    without: dict[str, list[Spot]] = {}
    for spot in spots:
        beam = record.beam(spot.beam)
        piece = beam.piece(spot.piece)
        asked, why = setting_of(beam, piece, step_id, record.job.nails)
        if asked is None:
            without.setdefault(why, []).append(spot)
        else:
            needs.append(Need(_name(spot), asked[0], _length(beam, piece), asked[1]))
    sheet = setting_sheet(needs)
    groups = [
        Group(one.machine, one.setting, tuple(_spot(need.piece) for need in one.needs))
        for one in sheet.groups
    ]
    groups += [Group("", (), tuple(spots), why) for why, spots in without.items()]
    return BatchSettings(tuple(groups), sheet.times_set, sheet.beam_by_beam)


def _name(spot: Spot) -> str:
    return f"{spot.beam} {spot.piece}"


def _spot(name: str) -> Spot:
    beam, _, piece = name.partition(" ")
    return Spot(beam, piece)


def setting_of(
    beam: Beam, piece: Piece, step_id: str, nails: Mapping[str, Fraction]
) -> tuple[_Asked | None, str]:
    """The machine and its setting for one step of one piece, or None and, where a nail of
    the job's own choice is what is wrong, why. `nails` are the job's own, by `NAILED`."""
    if (what := NAILED.get(step_id)) is not None:
        try:
            chosen = nail_for(what, beam.section, nails.get(what))
        except Refusal as refusal:
            return None, said(refusal)
        return ("nailer", (("nail", chosen.length),)), ""
    make = _SETTINGS.get(step_id)
    if make is None:
        return None, ""
    try:
        return make(beam, piece), ""
    except Refusal:
        return None, ""


def _length(beam: Beam, piece: Piece) -> Fraction:
    """How long a piece is, as far as is known, in inches."""
    try:
        made = marks(beam, piece)
    except Refusal:
        return Fraction(0)
    if isinstance(made, SideMarks) and made.cut is not None:
        return exact(made.cut.blank)
    if isinstance(made, BottomMarks) and made.length is not None:
        return exact(made.length)
    known = [run.value for one in beam.pieces.values() if (run := one.latest("run"))]
    return max(known, default=Fraction(0))


def _fence(width: Callable[[Section], Fraction]) -> Callable[[Beam, Piece], _Asked]:
    return lambda beam, _: ("table saw, square", (("fence", width(beam.section)),))


def _rip_side(beam: Beam, piece: Piece) -> _Asked:
    """The blade leans away from the fence, so that the board is not caught between the two
    (common practice, no source). The fence then stands off the blade, at the table, by the
    board's narrower face, which lies down; the edge along the fence is the square one. Of a
    side along a ridge the show face is the narrower, of a mitred one the back is. Where both
    edges are tilted neither is square: the distance is told at the show face, as of a bottom.
    """
    board = beam.boards[piece.key]
    if board.second_edge == "scribed":
        fence = ("fence from the bottom edge", board.width)
        return f"{_LEANING}, show face down", (("blade tilt", board.second_blade), fence)
    if board.first_blade and not board.second_blade:
        fence = ("fence from the top edge", exact(board.back_width))
        return f"{_LEANING}, back down", (("blade tilt", board.first_blade), fence)
    if board.first_blade:
        return _rip_bottom(beam, piece)
    return "table saw, square", (("fence", board.width),)


def _rip_bottom(beam: Beam, piece: Piece) -> _Asked:
    board = beam.boards[piece.key]
    at_face = "fence at the show face"
    return "table saw, tilted", (("blade tilt", board.first_blade), (at_face, board.width))


def _cut_side(beam: Beam, piece: Piece) -> _Asked | None:
    made = marks(beam, piece)
    if not isinstance(made, SideMarks) or made.cut is None:
        return None
    cut: SideCut = made.cut
    return "saw stop", (("blank for marking", exact(cut.blank)),)


def _cut_bottom(beam: Beam, piece: Piece) -> _Asked | None:
    made = marks(beam, piece)
    if not isinstance(made, BottomMarks) or made.length is None:
        return None
    return "mitre saw", (("blade tilt", made.bevel), (STOP, exact(made.length)))


def _scribe(beam: Beam, _piece: Piece) -> _Asked | None:
    made = scribe_of(beam)
    return None if made is None else ("scriber", (("opening", made.setting),))


_SETTINGS: Mapping[str, Callable[[Beam, Piece], _Asked | None]] = {
    "rip-side": _rip_side,
    "rip-bottom": _rip_bottom,
    "rip-top": _rip_side,
    "rip-cleats": _fence(lambda _: CLEAT),
    "ease": lambda _beam, _piece: ("router", (("radius", EASED),)),
    "cleat-line": lambda beam, _: (
        "marking gauge",
        (("line up from the bottom edge", cleat_line(beam.section)),),
    ),
    "cut-side": _cut_side,
    "scribe": _scribe,
    "cut-bottom": _cut_bottom,
}

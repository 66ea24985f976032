"""The dry fit: whether each board goes in, as cut or else as marked; in lines, drawn and as
JSON."""

from collections.abc import Iterator
from fractions import Fraction
from typing import Any

from crewdesk.errors import BadInput
from crewdesk.job.beams.beam import Beam
from crewdesk.job.beams.beams import find_beam
from crewdesk.job.beams.piece import Piece
from crewdesk.job.cuts.at_the_wall import fit_way_lines
from crewdesk.job.cuts.dry_fits import NOT_MEASURED, TO_LENGTH, Tried, tried
from crewdesk.job.record import Record
from crewdesk.job.steps.gates import read_early
from crewdesk.length import (
    MM_PER_INCH,
    STEPS,
    Length,
    Step,
    Way,
    exact,
)
from crewdesk.paper.lengths import lengths_json, with_unit
from crewdesk.paper.plain import plain
from crewdesk.paper.sheet import Sheet, facts_json, heading, job_values
from crewdesk.paper.text.exceptions_report import (
    NO_MORE,
    TRY_IT,
    held,
    kept,
    noted_of,
    noted_values,
)
from crewdesk.trade.cuts.dry_fit import Contact, DryFit

_FINE = STEPS["1/64"]
_WIDE, _HIGH = 32, 5
_NONE = Fraction(0)
_ALONG = "along each long edge"
"""The place of a gap along a board's edges: in the middle between the sides."""


def dry_fit_sheet(id_: str, record: Record, named: str | None = None) -> Sheet:
    """Return the dry fit of a job, or of the one beam that `named` names; raises `NotAllowed`."""
    beams = record.beams if named is None else (find_beam(record, named),)
    step = record.job.step
    lines = [heading(record.job, "dry fit")]
    values = []
    for beam in beams:
        lines += ["", plain(beam.label)]
        pieces = []
        for piece in beam.pieces.values():
            if piece.kind not in TO_LENGTH:
                continue
            one = _tried(beam, piece, step)
            early = read_early(record.stages, beam, piece)
            lines += [f"  {line}" for line in _piece_lines(piece, one, step)]
            lines += [f"  {'':<8}! {plain(reading.told)}" for reading in early]
            notes = list(noted_of(record, beam, piece))
            lines += [f"  {'':<8}! {note.told}" for note in (*held(notes), *kept(notes))]
            pieces.append(
                {
                    **_piece_json(piece, one, step),
                    "read_early": [reading.told for reading in early],
                    **noted_values(notes, "held", "kept"),
                }
            )
        values.append({"name": beam.name, "room": beam.room, "pieces": pieces})
    return Sheet(tuple(lines), lambda: {"job": job_values(id_, record.job), "beams": values})


def fit_in_brief(beam: Beam, piece: Piece, step: Step) -> str:
    """Return in a few words whether a piece goes in; "" if that is not known yet."""
    one = _tried(beam, piece, step)
    if (fit := one.fit) is None:
        return ""
    board = "As cut it" if one.as_cut else "As marked it"
    if fit.over:
        if one.may:
            return f"{board} {_may(fit, step)}"
        is_ = "" if fit.way == "no way" else "is "
        return f"{board} {is_}{_over(fit, step)} at {_places(fit)}"
    if fit.jams:
        return f"{board} jams on its way up by {_length(fit.jams, step, 'up')}"
    return f"{board} goes in {fit.way}, {_play(fit, step)}"


def _tried(beam: Beam, piece: Piece, step: Step) -> Tried:
    try:
        return tried(beam, piece, step)
    except BadInput as refusal:
        return Tried(None, refusal.shown(step))


def _piece_lines(piece: Piece, one: Tried, step: Step) -> Iterator[str]:
    if one.fit is None:
        yield f"{piece.name:<8}{plain(one.why) or NOT_MEASURED}"
    else:
        first, *more = fit_lines(one.fit, step, as_cut=one.as_cut, may=one.may)
        yield f"{piece.name:<8}{first}"
        yield from (f"{'':<8}{line}" for line in more)
    yield from (f"{'':<8}! {plain(doubt)}" for doubt in one.doubts if doubt != one.why)


def fit_lines(
    fit: DryFit, step: Step, *, as_cut: bool = False, may: bool = False, why: bool = True
) -> list[str]:
    """Return a dry fit in lines: one if all is well, else the problem, drawn.

    as_cut: it is of the board as cut. may: the board may go in though it is over (see `Tried`).
    why: say why it must go in one end first.
    """
    if fit.over and may:
        lines = [f"{_may(fit, step)}; where it touches first: {_places(fit)}"]
        lines += _open_lines(fit, step)
    elif fit.over:
        lines = [f"{_over(fit, step)}; it touches first at {_places(fit)}"]
        lines += [*_open_lines(fit, step), *drawing(fit, step)]
    elif fit.jams:
        jams = _length(fit.jams, step, "up")
        lines = [
            f"fits in its place, but jams on its way up: the room below is {jams} too short for it",
            f"bow it as it goes up, or cut it {jams} shorter",
        ]
        if fit.as_one:
            lines = [
                "fits in its place, but the sides and the top, which go up as one, jam on the "
                f"way: the room below is {jams} too short for them",
                f"cut them {jams} shorter, or put the sides up one by one and the top after them",
            ]
        lines += _open_lines(fit, step)
    else:
        widest = _length(fit.opens.gap, step, "up")
        where = _ALONG if fit.opens in fit.edges else f"at {_place(fit.opens)}"
        gap = f"gap up to {widest} {where}" if fit.opens.gap > 0 else "no gap"
        lines = [f"goes in {fit.way}, {_play(fit, step)}, {gap}"]
        if fit.way == "one end first" and why:
            what = "the sides and the top go up as one, " if fit.as_one else ""
            lines.append(f"{what}not straight up: the walls leave less room below than above")
        lines += _open_lines(fit, step)
    if as_cut:
        lines[0] = f"as cut: {lines[0]}"
    return lines + fit_way_lines(fit, step)


def _open_lines(fit: DryFit, step: Step) -> list[str]:
    """Return the gaps at the show face, a line for the ends and one for the long edges, unless the
    first line has them.

    At each end it is the widest gap if the end is not cut to its wall's slant, so that its edges
    differ by more than the marks' rounding. Of a board that is too long, it is the gap left when
    its nearer edge touches.
    """
    lines = [
        f"open at the show face: {_length(one.gap, step, 'up')} {_ALONG}" for one in fit.edges[:1]
    ]
    by_end = [[one for one in fit.shows if one.end == end] for end in (1, 2)]
    apart = [abs(exact(a.gap) - exact(b.gap)) for a, b in (pair for pair in by_end if pair)]
    if all(one <= step.size for one in apart):
        return lines
    entered = max(_NONE, -exact(fit.slack)) / 2
    widest = [max(pair, key=lambda one: one.gap) for pair in by_end]
    gaps = (f"{_length(exact(one.gap) + entered, step, 'up')} at {_place(one)}" for one in widest)
    return [f"open at the show face: {', '.join(gaps)}", *lines]


def _play(fit: DryFit, step: Step) -> str:
    """Return how far a board can slide once it is in."""
    return f"{_length(fit.slack, step)} free" if exact(fit.slack) > 0 else "no play"


def _may(fit: DryFit, step: Step) -> str:
    what = "wide" if fit.touches.place == "width" else "long"
    over = _length(fit.over, step, "up")
    return f"may be {over} too {what}, {NO_MORE}: {TRY_IT}"


def _over(fit: DryFit, step: Step) -> str:
    what = "wide" if fit.touches.place == "width" else "long"
    over = _length(fit.over, step, "up")
    if fit.way == "no way":
        return f"doesn't go in: {over} too {what}"
    return f"tight by {over}, the marks' rounding; plane it to the wall"


def _places(fit: DryFit) -> str:
    """Return where a board touches: at both ends if a flat board's edges differ."""
    if fit.touches.end is None or not fit.touching:
        return _place(fit.touches)
    return " and ".join(_place(one) for one in fit.touching)


def _place(spot: Contact) -> str:
    return "its edges" if spot.end is None else f"end {spot.end} {spot.place}"


def _fine(step: Step) -> Step:
    """Return the step of a fit's lengths: 1/64 in, or millimeters in a job in millimeters."""
    return step if step.mm else _FINE


def _length(value: Length, step: Step, way: Way = "down") -> str:
    fine = _fine(step)
    if 0 < exact(value) < fine.size:
        return "under 1 mm" if step.mm else "under 1/64 in"
    return with_unit(value, fine, way)


def drawing(fit: DryFit, step: Step) -> list[str]:
    """Return a drawing of the tight place: the wall (/), the board (#) and where they meet (X),
    with its scale."""
    over = float(fit.over)
    columns = max(2, min(12, round(over * 64)))
    middle = _WIDE // 2
    top_heavy = fit.touches.place == "top"
    rows = []
    for row in range(_HIGH):
        part = 1 - row / (_HIGH - 1) if top_heavy else 1.0
        entered = round(columns * part)
        wall = "/" * (middle - entered)
        rows.append(f"{wall}{'X' * entered}{'#' * (_WIDE - middle)}")
    one = f"{over / columns * float(MM_PER_INCH):.2g} mm" if step.mm else _part(over / columns)
    across = _length(fit.over, step, "up")
    return [*rows, f"X: {across} across (/ wall, # board); each character is {one}"]


def _part(inches: float) -> str:
    """Return a small length as the nearest even fraction of an inch, or to a tenth of one."""
    return f"1/{round(1 / inches)} in" if inches < 1 / 2 else f"{inches:.1f} in"


def _piece_json(piece: Piece, one: Tried, step: Step) -> dict[str, Any]:
    fit, fine = one.fit, _fine(step)
    if fit is None:
        why = {"fits": None, "why": one.why or NOT_MEASURED, "way_in": None}
        return {"piece": piece.key, **why, **facts_json(one, "as_cut", "doubts")}
    return {
        "piece": piece.key,
        "fits": None if one.may else fit.way != "no way",
        **({"why": _may(fit, step)} if one.may else {}),
        **lengths_json(fit, fine, "over", way="up"),
        **lengths_json(fit, fine, "slack", way="down"),
        "touches": _contact_json(fit.touches, fine),
        "touching": [_contact_json(spot, fine) for spot in fit.touching or (fit.touches,)],
        "opens": _contact_json(fit.opens, fine),
        "gaps": [_contact_json(spot, fine) for spot in (*fit.shows, *fit.edges)],
        **facts_json(fit, "way_in=way", "first_end=first"),
        **lengths_json(fit, fine, "jams", way="up"),
        "as_one": fit.as_one,
        **facts_json(one, "as_cut", "doubts"),
        "back_bevels": [
            {
                "end": bevel.end,
                **lengths_json(bevel, fine, "by", way="up"),
                "angle_deg": bevel.deg,
                **lengths_json(bevel, step, "start"),
                "pare_below": bevel.pare,
            }
            for bevel in fit.bevels
        ],
    }


def _contact_json(spot: Contact, fine: Step) -> dict[str, Any]:
    """Return a gap as in the lines: never less than the gap, or than the overlap with the wall."""
    way: Way = "up" if spot.gap > 0 else "down"
    return {**facts_json(spot, "end", "place"), **lengths_json(spot, fine, "gap", way=way)}

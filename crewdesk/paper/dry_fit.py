"""The dry fit: whether each board goes in as it is marked, in lines, drawn and as JSON."""

from collections.abc import Iterator
from typing import Any

from crewdesk.job.beam import Beam
from crewdesk.job.beams import find_beam
from crewdesk.job.dry_fits import dry_fit_of
from crewdesk.job.mark_list import NO_SLANT_KNOWN
from crewdesk.job.piece import Piece
from crewdesk.job.record import Record
from crewdesk.job.refused import said
from crewdesk.paper.lengths import length_json, length_json_at_least, length_json_at_most
from crewdesk.paper.noted import held, kept, noted_of
from crewdesk.paper.plain import plain
from crewdesk.paper.sheet import Sheet, heading, job_values
from crewdesk.trade.cuts.dry_fit import BackBevel, Contact, DryFit
from crewdesk.trade.length import SIXTY_FOURTH, STEPS, Length, Step, exact, exact_text, show_length
from crewdesk.trade.refusal import Refusal

_FINE = STEPS["1/64"]
_WIDE, _HIGH = 32, 5


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
            if piece.kind not in ("side", "bottom"):
                continue
            fit, why = _tried(beam, piece, step)
            lines += [f"  {line}" for line in _piece_lines(piece, fit, why, step)]
            notes = list(noted_of(record, beam, piece))
            lines += [f"  {'':<8}! {one.told}" for one in (*held(notes), *kept(notes))]
            cuts = {
                "held": [one.values for one in held(notes)],
                "kept": [one.values for one in kept(notes)],
            }
            pieces.append({**_piece_json(piece, fit, why, step), **cuts})
        values.append({"name": beam.name, "room": beam.room, "pieces": pieces})
    return Sheet(tuple(lines), lambda: {"job": job_values(id_, record.job), "beams": values})


def fit_in_brief(beam: Beam, piece: Piece, step: Step) -> str:
    """Return in a few words whether a piece goes in as marked; nothing where that is not
    known yet."""
    fit, _ = _tried(beam, piece, step)
    if fit is None:
        return ""
    if fit.over:
        return f"{_over(fit)} at {_place(fit.touches)}"
    if fit.jams:
        return f"jams on its way up by {_length(fit.jams, 'up')}"
    return f"goes in {fit.way}, {_length(fit.slack)} free"


def _tried(beam: Beam, piece: Piece, step: Step) -> tuple[DryFit | None, str]:
    try:
        fit = dry_fit_of(beam, piece, step)
        unknown = fit is None and piece.latest("opening") is not None
        return fit, f"{NO_SLANT_KNOWN}, then it can be tried" if unknown else ""
    except Refusal as refusal:
        return None, said(refusal)


def _piece_lines(piece: Piece, fit: DryFit | None, why: str, step: Step) -> Iterator[str]:
    if fit is None:
        yield f"{piece.name:<8}{plain(why) or 'not measured yet'}"
        return
    first, *more = fit_lines(fit, step)
    yield f"{piece.name:<8}{first}"
    yield from (f"{'':<8}{line}" for line in more)


def fit_lines(fit: DryFit, step: Step) -> list[str]:
    """Return a dry fit in lines: one where all is well, else what is wrong, drawn."""
    if fit.over:
        lines = [f"{_over(fit)}; it touches first at {_place(fit.touches)}"]
        lines += drawing(fit)
    elif fit.jams:
        jams = _length(fit.jams, "up")
        lines = [
            f"fits in its place, but jams on its way up: the room below is {jams} too short for it",
            f"bow it as it goes up, or cut it {jams} shorter",
        ]
    else:
        gap = f"gap {_length(fit.opens.gap, 'up')} at {_place(fit.opens)}"
        lines = [f"goes in {fit.way}, {_length(fit.slack)} free, {gap} at most"]
        if fit.way == "one end first":
            lines.append("not straight up: the walls leave less room below than above")
    return lines + [bevel_line(one, step) for one in fit.bevels]


def _over(fit: DryFit) -> str:
    what = "wide" if fit.touches.place == "width" else "long"
    if fit.way == "no way":
        return f"doesn't go in: {_length(fit.over, 'up')} too {what}"
    return (
        f"tight by {_length(fit.over, 'up')}, what the marks are rounded by; plane it to the wall"
    )


def bevel_line(one: BackBevel, step: Step) -> str:
    """Return what the back must lose at an end, in one line."""
    start = show_length(one.start, step)
    line = (
        f"back bevel at end {one.end}: {one.deg:.1f}\u00b0 from {start}"
        f"{'' if step.mm else ' in'} up, {_length(one.by, 'up')} or more off the back"
    )
    return f"{line}; pare the part below to the wall too" if one.pare else line


def _place(spot: Contact) -> str:
    if spot.end is None:
        return {"width": "its edges", "edge A": "edge A", "edge B": "edge B"}[spot.place]
    return f"end {spot.end} {spot.place}"


def _length(value: Length, way: str = "down") -> str:
    shown = exact(value)
    if 0 <= shown < SIXTY_FOURTH:
        return "under 1/64 in" if shown else "0 in"
    return f"{show_length(shown, _FINE, way='up' if way == 'up' else 'down')} in"


def drawing(fit: DryFit) -> list[str]:
    """Return the tight place drawn: the wall (/), the board (#) and where they meet (X), its
    scale stated."""
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
    return [
        *rows,
        f"X: {_length(fit.over, 'up')} across, drawn 1/{round(columns / over)} in a sign",
    ]


def _piece_json(piece: Piece, fit: DryFit | None, why: str, step: Step) -> dict[str, Any]:
    if fit is None:
        return {
            "piece": piece.key,
            "fits": None,
            "why": why or "not measured yet",
            "way_in": None,
        }
    return {
        "piece": piece.key,
        "fits": fit.way != "no way",
        "over": length_json_at_least(fit.over, _FINE),
        "slack": length_json_at_most(fit.slack, _FINE),
        "touches": _contact_json(fit.touches),
        "opens": _contact_json(fit.opens),
        "way_in": fit.way,
        "jams": length_json_at_least(fit.jams, _FINE),
        "back_bevels": [
            {
                "end": one.end,
                "by": {"exact": exact_text(one.by), "shown": show_length(one.by, _FINE, way="up")},
                "angle_deg": one.deg,
                "start": length_json(one.start, step),
                "pare_below": one.pare,
            }
            for one in fit.bevels
        ],
    }


def _contact_json(spot: Contact) -> dict[str, Any]:
    return {"end": spot.end, "place": spot.place, "gap": length_json(spot.gap, _FINE)}

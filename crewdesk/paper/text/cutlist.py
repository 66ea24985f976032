"""The cut list: each piece's marks, as seen from its own show face."""

from collections.abc import Iterable
from typing import Any, NamedTuple

from crewdesk.errors import BadInput
from crewdesk.job.beams.beam import Beam
from crewdesk.job.beams.forms import USUAL
from crewdesk.job.beams.in_plan import compound_cuts
from crewdesk.job.beams.other_shape import ceiling_for_other
from crewdesk.job.beams.piece import NAME_OF, Piece
from crewdesk.job.beams.plausibility import doubt
from crewdesk.job.beams.readings import ENDS, READING_KINDS, reading_name
from crewdesk.job.beams.uncertainty import Sureness, how_sure
from crewdesk.job.cuts.at_the_wall import way_up_lines
from crewdesk.job.cuts.bottoms import EDGE_B, reads_as_one
from crewdesk.job.cuts.changed_cuts import shown_marks
from crewdesk.job.cuts.marks import BottomMarks, Marks, marks
from crewdesk.job.cuts.scribe_way import ScribeCut, scribe_cut_known
from crewdesk.job.cuts.scribing import cleats_wait, scribe_of, sides_under
from crewdesk.job.lumber.spliced import Spliced, splices_of_piece
from crewdesk.job.record import Record
from crewdesk.job.steps.gates import read_early
from crewdesk.length import Step, mixed
from crewdesk.paper.lengths import degrees_shown, length_json, rise_in_12, with_unit
from crewdesk.paper.plain import plain
from crewdesk.paper.sheet import Sheet, facts_json, heading, job_values
from crewdesk.paper.text.exceptions_report import (
    Noted,
    as_cut_values,
    gap_cautions,
    gap_line,
    gap_values,
    noted_of,
    noted_values,
    waived_lines,
    waived_values,
)
from crewdesk.paper.text.mark_text import (
    lines_of,
    uncertainty_cautions,
    uncertainty_lines,
    values_of,
)
from crewdesk.paper.text.notes import (
    compound_json,
    kept_lines,
    scribe_cut_json,
    scribe_cut_line,
    scribe_json,
    skew_notes,
    square_lines,
    tool_lines,
)
from crewdesk.trade.cuts.ceiling import DROP_SHORT, Scribe
from crewdesk.trade.cuts.pitch import PER_FOOT
from crewdesk.trade.cuts.shop_machine import USUAL_MACHINE, ShopMachine

_MARGIN = 10
NO_PITCH = "This beam is sloped and its pitch isn't known; its sides have no marks until it is."


def cut_list(
    id_: str,
    record: Record,
    named: str | None = None,
    machine: ShopMachine = USUAL_MACHINE,
) -> Sheet:
    """Return the cut list of a job, or of the beam that `named` names; `machine` is the shop's saw
    and tools. Raises `NotAllowed`."""
    beams = _beams(record, named)
    step = record.job.step
    to = "1 mm" if step.mm else f"{step.name} in"
    lines = [
        heading(record.job, "cut list"),
        f"Lengths are shown to {to}, rounded so that no board is too long and no blank too short;",
        "+ is a little more, - a little less.",
        "Left and right are as seen from that board's own show face.",
        *(f"! {one}" for one in waived_lines(record)),
    ]
    if not beams:
        lines.append("There are no beams yet.")
    for beam in beams:
        lines += ["", *_beam_lines(record, beam, machine)]
    return Sheet(tuple(lines), lambda: _values(id_, record, beams, machine))


def cut_list_values(
    id_: str,
    record: Record,
    named: str | None = None,
    machine: ShopMachine = USUAL_MACHINE,
) -> dict[str, Any]:
    """Return `cut_list` as one JSON object, without building its lines. Raises `NotAllowed`."""
    return _values(id_, record, _beams(record, named), machine)


def _beams(record: Record, named: str | None) -> tuple[Beam, ...]:
    if named is None:
        return record.beams
    from crewdesk.job.beams.beams import find_beam

    return (find_beam(record, named),)


def folded(lines: Iterable[str], columns: int) -> tuple[str, ...]:
    """Return a cut list's lines wrapped at `columns` characters, continuations indented."""
    from textwrap import wrap  # only for a terminal

    made: list[str] = []
    for line in lines:
        indent = " " * (_MARGIN + 2 if line.startswith("  ") else 2)
        made += wrap(line, max(columns, 2 * _MARGIN), subsequent_indent=indent) or [""]
    return tuple(made)


def _values(
    id_: str, record: Record, beams: Iterable[Beam], machine: ShopMachine
) -> dict[str, Any]:
    return {
        "job": job_values(id_, record.job),
        "waived": waived_values(record),
        "beams": [_beam_values(record, beam, machine) for beam in beams],
    }


def _beam_lines(record: Record, beam: Beam, machine: ShopMachine) -> list[str]:
    step = record.job.step
    end1, end2 = (wall(beam, end) for end in (1, 2))
    lines = [
        f"{plain(beam.label)}: {about_beam(beam, step)}, from {end1} to {end2}",
        *(f"  ! {one}" for one in _cautions(beam)),
    ]
    if beam.pair.ceiling is not None:
        lines.append(f"  {'scribe':<{_MARGIN - 2}}{scribe_line(beam, step, machine)}")
    for piece in beam.pieces.values():
        text = piece_lines(record, beam, piece, machine)
        lines += [
            f"  {piece.name if not at else '':<{_MARGIN - 2}}{line}" for at, line in enumerate(text)
        ]
    return lines


def _beam_values(record: Record, beam: Beam, machine: ShopMachine) -> dict[str, Any]:
    made = _scribed(beam)[0]
    return {
        **facts_json(beam, "name", "room", "ends", "ceiling"),
        "cautions": _cautions(beam),
        "section": _section(beam, record.job.step),
        "scribe": None if made is None else scribe_json(beam, made, record.job.step, machine),
        "pieces": [_piece_values(record, beam, piece, machine) for piece in beam.pieces.values()],
    }


def _cautions(beam: Beam) -> list[str]:
    return [NO_PITCH] if beam.ceiling == "sloped" and beam.pitch is None else []


def size_of(beam: Beam, step: Step) -> str:
    """Return a beam's width, its depth, and what the depth is: along a ridge the drops from the
    ridge to the bottom edges."""
    wide = f"{with_unit(beam.section.width, step)} wide"
    high, other = beam.section.height, beam.height_b
    if beam.form.id == "ridge":
        drops = with_unit(high, step)
        if other and other != high:
            drops = f"side A {drops}, side B {with_unit(other, step)}"
        return f"{wide}, drop from the ridge {drops}"
    if beam.form.id == "uneven" and other:
        sides = f"side A {with_unit(high, step)}, side B {with_unit(other, step)}"
        return f"{wide}, {sides} deep"
    return f"{wide}, {with_unit(high, step)} deep"


def about_beam(beam: Beam, step: Step) -> str:
    """Return a beam's size, its type where it isn't the usual one, and its slope."""
    about = size_of(beam, step)
    if beam.form.id not in (USUAL, "uneven"):
        about += f"; {beam.form.name}"
    if beam.ceiling == "sloped" and beam.pitch is not None:
        rise = rise_in_12(beam.pitch)
        steep = "" if rise is None else f"{mixed(rise)}/{PER_FOOT}, "
        low = wall(beam, beam.low)
        about += f"; sloped {steep}{degrees_shown(beam.pitch.degrees)}, low at {low}"
    return about


def _scribed(beam: Beam) -> tuple[Scribe | None, str]:
    """Return the scribe of a beam, or why there is none."""
    try:
        return scribe_of(beam), ""
    except BadInput as refusal:
        return None, refusal.shown(beam.habits.step)


def scribe_line(beam: Beam, step: Step, machine: ShopMachine = USUAL_MACHINE) -> str:
    """Return the scribe's settings for both sides in one line, and the effect of the shop's
    tool."""
    made, why = _scribed(beam)
    if made is None:
        return f"! {plain(why)}"
    short = "".join(f" ! {one.shown(step)}" for one in made.cautions if one.text == DROP_SHORT)
    short += "".join(f" ! {plain(one)}" for one in filter(None, (ceiling_for_other(beam),)))
    set_to = f"set the scriber to {with_unit(made.setting, step, 'up')}"
    lowest = f"finishes {with_unit(made.lowest_drop, step)} wide"
    kept = "".join(f"; {one}" for one in (*tool_lines(beam, made, machine.scribers, step),
                                          *kept_lines(beam, step)))  # fmt: skip
    if len(sides_under(beam)) == 1:
        return f"{set_to}; the side {lowest} at the narrowest{short}{kept}"
    return f"{set_to} for both sides; the narrower one {lowest}{short}{kept}"


def wall(beam: Beam, end: int) -> str:
    """Return an end's name: its wall's, or its number if the wall has none."""
    name = plain(beam.ends[end - 1]).strip()
    return f"{name} (end {end})" if name else f"end {end}"


def _section(beam: Beam, step: Step) -> dict[str, Any]:
    lengths = {k: length_json(v, step) for k, v in beam.section._asdict().items() if k != "bevel"}
    return {**lengths, "bevel_deg": float(beam.section.bevel)}


class PieceReport(NamedTuple):
    """The report of a piece.

    It has its marks, or None if its readings make none; the missing (piece, reading) pairs; doubts
    and notes; the splices of the kept plan; `remarks`, lines below the marks; and `scribe_cut`, how
    a side is cut to its scribe line, if known.
    """

    made: Marks | None
    missing: list[tuple[str, str]]
    doubts: list[str]
    notes: list[Noted]
    spliced: Spliced | None
    remarks: list[str]
    scribe_cut: ScribeCut | None = None


def piece_report(
    record: Record, beam: Beam, piece: Piece, machine: ShopMachine = USUAL_MACHINE
) -> PieceReport:
    """Return a piece's report, for every sheet."""
    step = record.job.step
    made, doubts = _made(beam, piece)
    missing = missing_of(beam, piece)
    notes = list(noted_of(record, beam, piece))
    parts = splices_of_piece(record, beam.row, piece.key)
    remarks = [] if parts is None else [_in_parts(parts, step)]
    if piece.kind == "cleats" and "fix-cleats" not in piece.steps:
        remarks += filter(None, (cleats_wait(beam),))
    if made is not None or piece.kind != "cleats":
        remarks += _more(beam, piece, step)
    if (reveal := piece.latest("reveal")) is not None:
        remarks.append(f"reveal as it came out: {with_unit(reveal.value, step)}")
    remarks += [f"not measured: {missing_text(beam, *one)}" for one in missing]
    remarks += [f"! {plain(one.told)}" for one in read_early(record.stages, beam, piece)]
    remarks += [f"! {one}" for one in map(plain, doubts) if not any(one in n.told for n in notes)]
    remarks += [f"! {one.told}" for one in notes]
    for gap in piece.gaps:
        remarks += [gap_line(gap, step), *(f"! {one}" for one in gap_cautions(gap, step))]
    cut = scribe_cut_known(beam, piece, machine, step)
    return PieceReport(made, missing, doubts, notes, parts, remarks, cut)


def _in_parts(parts: Spliced, step: Step) -> str:
    from crewdesk.paper.text.plan_summary import splice_text  # few boards are spliced

    return f"in {len(parts.places) + 1} parts: {splice_text(parts, step)} of the blank"


def _made(beam: Beam, piece: Piece) -> tuple[Marks | None, list[str]]:
    """Return a piece's marks, or None if they can't be computed, and its doubts."""
    doubts = [one for what in piece.takes if (one := doubt(beam, piece, what))]
    try:
        made = shown_marks(beam, piece, projection=beam.habits.cleat)
    except BadInput as refusal:
        return None, doubts or [refusal.shown(beam.habits.step)]
    if isinstance(made, BottomMarks) and made.asks:
        doubts.append(made.asks)
    return made, doubts


def piece_lines(
    record: Record, beam: Beam, piece: Piece, machine: ShopMachine = USUAL_MACHINE
) -> list[str]:
    """Return a piece's lines of the cut list, without the margin."""
    one = piece_report(record, beam, piece, machine)
    walls = (wall(beam, 1), wall(beam, 2))
    text = [] if one.made is None else lines_of(one.made, piece, walls, record.job.step)
    cut = [] if one.scribe_cut is None else [scribe_cut_line(one.scribe_cut)]
    return [*text, *cut, *one.remarks]


def _piece_values(record: Record, beam: Beam, piece: Piece, machine: ShopMachine) -> dict[str, Any]:
    step = record.job.step
    made, missing, doubts, notes, parts, _, cut = piece_report(record, beam, piece, machine)
    sure = _sure(beam, piece)
    within = None if sure is None else sure.within
    return {
        **facts_json(piece, "piece=key", "name", "kind"),
        "marks": None if made is None else values_of(made, piece, beam, step, within),
        "missing": [{"piece": key, "reading": what} for key, what in missing],
        "doubts": doubts,
        "read_early": [one.told for one in read_early(record.stages, beam, piece)],
        "cautions": [] if sure is None else uncertainty_cautions(sure, step),
        "compound": _compound(beam, piece),
        "splices": None if parts is None else _splice_json(parts, step),
        "gaps": [gap_values(gap, step) for gap in piece.gaps],
        **_reached(piece, step),
        **({"scribe_cut": scribe_cut_json(cut)} if piece.kind == "side" else {}),
        **noted_values(notes, "overrides", "blocked", "skipped", "held", "kept", "slightly_off"),
        "as_cut": as_cut_values(piece),
    }


def _splice_json(parts: Spliced, step: Step) -> dict[str, Any]:
    from crewdesk.paper.text.plan_summary import splice_json  # as above

    return splice_json(parts, step)


def _reached(piece: Piece, step: Step) -> dict[str, Any]:
    """Return a bottom's reveal measured at the fix-up, null until then."""
    if piece.kind != "bottom":
        return {}
    reveal = piece.latest("reveal")
    return {"reveal_reached": None if reveal is None else length_json(reveal.value, step)}


def _more(beam: Beam, piece: Piece, step: Step) -> list[str]:
    """Return the marks' uncertainty, and what walls out of square require."""
    try:
        sure = _sure(beam, piece)
        lines = [] if sure is None else uncertainty_lines(sure, step)
        lines += filter(None, ("; ".join(way_up_lines(beam, piece, step)),))
        return lines + skew_notes(beam, piece, step) + square_lines(beam, piece)
    except BadInput:
        return []


def _sure(beam: Beam, piece: Piece) -> Sureness | None:
    """Return the uncertainty of a piece's marks; None if it has none yet."""
    try:
        made = marks(beam, piece, projection=beam.habits.cleat)
        if isinstance(made, BottomMarks) and made.cut is None:
            return None
        return how_sure(beam, piece, projection=beam.habits.cleat)
    except BadInput:
        return None


def _compound(beam: Beam, piece: Piece) -> list[dict[str, Any]]:
    try:
        return [
            {"end": one.end, "slope_end": one.slope_end, **compound_json(one.cut)}
            for one in compound_cuts(beam, piece)
        ]
    except BadInput:
        return []


def missing_of(beam: Beam, piece: Piece) -> list[tuple[str, str]]:
    """Return the missing (piece, reading) pairs of a piece's marks; cleats depend on the sides."""
    if piece.kind != "cleats":
        missing = [(piece.key, what) for what in piece.asked_for]
        return missing + ([(piece.key, EDGE_B)] if reads_as_one(beam, piece) else [])
    sides = (one for one in beam.pieces.values() if one.kind == "side")
    return [(side.key, "run") for side in sides if side.latest("run") is None]


def missing_text(beam: Beam, key: str, what: str) -> str:
    """Return what to measure: which reading, of which piece, at which wall."""
    if what in ENDS:
        return f"gap, and in or out at the top, at {wall(beam, ENDS.index(what) + 1)}"
    name = reading_name(what, sloped=beam.ceiling == "sloped")
    return f"{name} ({NAME_OF[key]})" if READING_KINDS[what].piece == "side" else name

"""Rules between the rows of a job, and how rows refer to one another.

Every change is checked before it is made. When changes of two places are merged, the result is
checked again.
"""

from collections import Counter
from collections.abc import Hashable, Iterable, Mapping, Sequence
from typing import Any, Protocol

from crewdesk.errors import BadInput, NotAllowed
from crewdesk.job.beams.beam import Beam, check_ridge, section_from_doc
from crewdesk.job.beams.forms import USUAL, form_of
from crewdesk.job.beams.piece import NAME_OF, OwnCut, Piece
from crewdesk.job.beams.readings import READ_TO, check_step
from crewdesk.job.beams.type_pieces import piece_fault
from crewdesk.job.change import Doc, Tables
from crewdesk.job.cuts.changed_cuts import changed_cuts
from crewdesk.job.parsing import fraction, within
from crewdesk.job.steps.gates import unmet
from crewdesk.job.steps.stages import Stages
from crewdesk.job.text_limits import brief
from crewdesk.job.time.today import checked_zone
from crewdesk.trade.cuts.pitch import read_pitch

Moved = Mapping[tuple[str, str], str]
Early = dict[tuple[str, str, str, str], tuple[str, str]]
"""By `("gate", beam's row, piece, step)`, a step done too early, and what it lacks."""


class LookedAt(Protocol):
    """The part of a record that these rules need; the record imports this module in turn."""

    tables: Tables

    @property
    def stages(self) -> Stages: ...

    @property
    def beams(self) -> tuple[Beam, ...]: ...


def broken_rules(record: LookedAt, rows: Iterable[tuple[str, str]]) -> dict[Hashable, str]:
    """Return the broken rules of a job that concern `rows`, each by a key:

    `("twice", label)`, `("clocks",)`, `("order", entry's row)`, `("lines", text)`,
    `("pieces", beam's row)`, `("gate", beam's row, piece, step)`. Overridden gates are left out.
    """
    rows = set(rows)
    changed = {table for table, _ in rows}
    found: dict[Hashable, str] = {}
    if "beams" in changed:
        found |= _named_twice(record.beams)
    running = [entry for entry in record.tables.get("entries", {}).values() if "stop" not in entry]
    if "entries" in changed and len(running) > 1:
        found["clocks",] = "Two clocks would run at once in this job. Stop one first."
    if changed & {"entries", "orders"}:
        found |= orders_astray(record.tables)
    if "materials" in changed:
        found |= lines_twice(record.tables)
    for beam in record.beams:
        if ("beams", beam.row) in rows:
            keys = record.tables["beams"][beam.row]["pieces"]
            if fault := piece_fault(beam.label, beam.form, keys):
                found["pieces", beam.row] = fault
        if "job" in changed or ("beams", beam.row) in rows:
            found |= {
                key: f"{what} would be done too early: {gate}"
                for key, (what, gate) in done_too_early(record.stages, beam).items()
            }
    return found


def _named_twice(beams: Sequence[Beam]) -> dict[Hashable, str]:
    labels = Counter(beam.label.casefold() for beam in beams)
    return {
        ("twice", label): f"There would be two beams {beam.label}. Rename one first."
        for beam in beams
        if labels[label := beam.label.casefold()] > 1
    }


def orders_astray(tables: Tables) -> dict[Hashable, str]:
    """Return time entries on a missing change order, by `("order", entry's row)`."""
    orders = tables.get("orders", {})
    return {
        ("order", row): f"Time entry {row} belongs to change order {order}, which isn't "
        "in this job. Leave its 'order' out or add that change order."
        for row, entry in tables.get("entries", {}).items()
        if (order := entry.get("order")) and order not in orders
    }


def lines_twice(tables: Tables) -> dict[Hashable, str]:
    """Return takeoff lines that are twice in the material, by `("lines", text)`."""
    lines = tables.get("materials", {}).values()
    texts = Counter(line["text"] for line in lines if line.get("of"))
    return {
        ("lines", text): f"The takeoff's {text} would be in the estimate twice."
        for text, count in texts.items()
        if count > 1
    }


def done_too_early(stages: Stages, beam: Beam) -> Early:
    """Return the steps of a beam that are done although a need isn't met, with what is missing, by
    `("gate", beam's row, piece, step)`. Overridden gates are left out."""
    found: Early = {}
    for piece in beam.pieces.values():
        for step in stages.steps_of(piece.kind, piece.traits):
            mark = piece.steps.get(step.id)
            if mark is None or mark.state != "done" or mark.override:
                continue
            if (gate := unmet(stages, beam, piece, step)) is not None:
                what = f"'{step.name}' on {beam.label} {piece.name}"
                found["gate", beam.row, piece.key, step.id] = (what, gate)
    return found


def early(stages: Stages, beam: Beam) -> Early:
    """Return the same without cuts that need an answer, or were kept despite a hold or a doubtful
    new reading."""
    asked = {
        ("gate", *one.spot, one.step_id)
        for one in changed_cuts(beam)
        if one.held or (one.kept and (one.asks or one.doubts))
    }
    return {key: one for key, one in done_too_early(stages, beam).items() if key not in asked}


def early_for_type(stages: Stages, beam: Beam) -> str:
    """Return the names of a beam's steps that are done too early for its type, and what the first
    one needs; "" if none."""
    found = early(stages, beam)
    if not found:
        return ""
    of_step: dict[str, list[str]] = {}
    for _, _, key, step_id in found:
        of_step.setdefault(stages.step(step_id).name, []).append(NAME_OF[key])
    on: dict[str, list[str]] = {}
    for name, keys in of_step.items():
        on.setdefault(" and ".join(keys), []).append(f"'{name}'")
    steps = "; ".join(f"on {pieces} {', '.join(names)}" for pieces, names in on.items())
    gate = next(iter(found.values()))[1]
    return (
        f"{beam.label} is {beam.form.name} now, and some of its steps were done too "
        f"early for that: {steps}. {gate} Progress lists them all."
    )


def renumbered(at: tuple[str, ...], value: Any, moved: Moved) -> Any:
    """Return a value for the place `at` with the new numbers of rows that it refers to."""
    if not moved:
        return value
    if len(at) == 2 and isinstance(value, dict):
        return {key: renumbered((*at, key), one, moved) for key, one in value.items()}
    named = (at[0], *at[2:])
    if named in (("entries", "pieces"), ("boards", "pieces")) and isinstance(value, list):
        return [[moved.get(("beams", one[0]), one[0]), *one[1:]] for one in value]
    if named == ("entries", "order"):
        return moved.get(("orders", value), value)
    if named == ("job", "cutting") and isinstance(value, dict):
        return {key: renumbered((*at, key), one, moved) for key, one in value.items()}
    if named == ("job", "cutting", "match") and isinstance(value, list):
        return [moved.get(("beams", row), row) for row in value]
    return value


class _OfJob(Protocol):
    """The part of a job that these rules need."""

    @property
    def zone(self) -> str: ...


def sound_job(job: _OfJob, doc: Doc) -> None:
    """Raise `NotAllowed` or `BadInput` if a job's own row can't come in."""
    checked_zone(job.zone)
    steps = doc.get("read_to", {})
    if not isinstance(steps, dict):
        raise NotAllowed(f"The instruments' steps in this file are damaged: {brief(steps)}.")
    for name, step in steps.items():
        if name not in READ_TO:
            raise NotAllowed(
                f"There is no instrument {brief(name)}. Known are {', '.join(READ_TO)}."
            )
        check_step(fraction(step, f"{name}'s step"), name)


def sound_beam(beam: Beam, doc: Doc) -> None:
    """Raise `NotAllowed` or `BadInput` if a beam can't come in."""
    low = doc.get("low", 1)
    if type(low) is not int or low not in (1, 2):
        raise NotAllowed(f"The low end of a sloped beam must be 1 or 2, not {brief(low)}.")
    check_ridge(beam)
    if fault := piece_fault(beam.label, beam.form, doc["pieces"]):
        raise NotAllowed(fault)
    for what in ("drop", "height_b", "ridge_side"):
        value = getattr(beam, what)
        if value is not None and (value < 0 or (value == 0 and what != "drop")):
            raise NotAllowed(f"The '{what}' of a beam can't be {brief(doc[what])}.")
    _within_its_sides(beam)
    for piece in beam.pieces.values():
        with within(piece.name):
            _sound_piece(piece)


def _within_its_sides(beam: Beam) -> None:
    """Raise `BadInput` if a beam is to hang farther down than its narrowest side is wide: scribing
    only takes off. A beam whose widths can't be computed yet isn't looked at."""
    if beam.drop is None:
        return
    try:
        widths = [(beam.height(key), key) for key, one in beam.pieces.items() if one.kind == "side"]
    except BadInput:
        return
    width, key = min(widths, default=(beam.drop, ""))
    if beam.drop > width:
        raise BadInput(
            "The minimum finished depth is {drop} in, but {side} is only {width} in wide. Type a "
            "smaller depth, or make the sides wider.",
            field="drop",
            drop=beam.drop,
            side=NAME_OF[key],
            width=width,
        )


def _sound_piece(piece: Piece) -> None:
    for name, taken in piece.readings.items():
        with within(f"reading '{name}'"):
            for reading in taken:
                if reading.to is not None:
                    check_step(reading.to, reading.instrument or "instrument")
    for id_, mark in piece.steps.items():
        if mark.cut is not None:
            with within("step", id_):
                section_from_doc(mark.cut.section)
                _sound_settings(mark.cut.settings)


def _sound_settings(kept: Doc) -> None:
    """Check the settings of a cut, as `as_cut.settings_of` keeps them."""
    form_of(kept.get("form", USUAL))
    for key in ("pitch", "pitch_b"):
        if kept.get(key):
            read_pitch(kept[key])
    if "cleat" in kept:
        fraction(kept["cleat"], "cleat")
    if "own_cut" in kept:
        OwnCut.alone(kept["own_cut"])

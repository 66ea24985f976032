"""A beam as it is asked for: its name, room, ends and section."""

from collections.abc import Mapping
from datetime import datetime
from fractions import Fraction
from typing import Any

from crewdesk.errors import CrewdeskError, NotAllowed
from crewdesk.job.beam import CEILINGS, Beam
from crewdesk.job.beams import add_beam, change_beam
from crewdesk.job.change import Change
from crewdesk.job.forms import (
    FORM_CHOICES,
    FORM_NAMES,
    FORMS_TYPED,
    USUAL,
    ceiling_typed,
    form_typed,
)
from crewdesk.job.piece import Spot
from crewdesk.job.record import Record
from crewdesk.job.words import checked_name
from crewdesk.length import mixed
from crewdesk.screens.ask import Answer, Field, ask_change
from crewdesk.screens.program import Program
from crewdesk.trade.angle import read_angle
from crewdesk.trade.cuts.pitch import read_pitch
from crewdesk.trade.cuts.section import Section
from crewdesk.trade.read_length import read_length

_CEILINGS = " or ".join(CEILINGS)
_MEASURES = (
    ("width", "Width, outside", "over the outside of the sides"),
    ("height", "Side height", "to start with, before the scribe"),
    ("side_thickness", "Side thickness", ""),
    ("bottom_thickness", "Bottom thickness", ""),
    ("reveal", "Reveal", "bottom board above the sides' bottom edges"),
    ("flat", "Flat of the bottom", "left square at the show face, 1/8 to 1/4"),
    ("fit", "Taken off its width", "so that it goes up"),
    ("undercut", "Taken off its length", "1/32 or 0"),
)


_MAYBE = (
    ("height_b", "Side B's height", "if it is not side A's"),
    ("drop", "Least drop wanted", "below the ceiling, or empty"),
    ("ridge_side", "Ridge side it meets", "height of the side that it dies into"),
    ("rough", "Rough length", "until it is read, or empty"),
)


_ON_RIDGE: Mapping[str, str] = {
    "height": "Drop from the ridge",
    "height_b": "Drop at side B",
    "ceiling": "Ridge",
    "pitch": "Pitch over side A",
}
"""What some lines ask of a beam along a ridge."""


_CHOICES_ON_RIDGE: Mapping[str, str] = {
    "ceiling": (
        "flat, also where the ceiling slopes down on both sides of the ridge: the beam hangs level"
    ),
}
"""The choices of some lines of a beam along a ridge."""


def ask_beam(app: Program, row: str | None, *, like: str | None = None) -> None:
    """Ask for a new beam or, where `row` names one, change it; then make the change. A new one
    begins as the beam of the row `like` is, else as the last one."""
    record = app.record
    beam = record.beam(row) if row is not None else None
    last = record.beam(like) if like else record.beams[-1] if record.beams else None

    def act(record: Record, answer: Answer, now: datetime) -> Change:
        fields = dict(_read(answer))
        if row is not None:
            return change_beam(record, row, fields, now)
        name, room = fields.pop("name"), fields.pop("room")
        return add_beam(record, name, room, now, **fields)

    ask_change(
        app,
        f"Change {beam.label}" if beam else "A new beam",
        _lines(record, beam, last),
        act,
        does="Save" if beam else "Add the beam",
        asks=_asks,
        choose=_choices,
        then=lambda change: None if beam else _go_to_new(app, change),
    )


def _go_to_new(app: Program, change: Change) -> None:
    """Put the run sheet's cursor on the beam that was added."""
    from crewdesk.screens.going import cursor_to

    for table, row in change.rows:
        if table == "beams":
            cursor_to(app, Spot(row, next(iter(app.record.beam(row).pieces))))


def _asks(answer: Answer) -> Mapping[str, str]:
    """What the lines ask of a beam of the type that is typed."""
    return _ON_RIDGE if _is_ridge(answer) else {}


def _choices(answer: Answer) -> Mapping[str, str]:
    """The choices for a beam of the type that is typed."""
    return _CHOICES_ON_RIDGE if _is_ridge(answer) else {}


def _is_ridge(answer: Answer) -> bool:
    try:
        return form_typed(answer["form"]).id == "ridge"
    except CrewdeskError:
        return False


def _length(value: Fraction | None) -> str:
    return mixed(value) if value else ""


def _kept(record: Record, beam: Beam | None, key: str) -> str:
    """A field as it was typed, which the record keeps."""
    return str(record.tables["beams"][beam.row].get(key, "")) if beam else ""


def _lines(record: Record, beam: Beam | None, last: Beam | None) -> list[Field]:
    before = beam or last
    section = before.section if before else record.job.section
    form, ceiling = (before.form.typed, before.ceiling) if before else (USUAL, "flat")
    maybe = {key: getattr(before, key) if before else None for key, _, _ in _MAYBE}
    if beam is None:
        maybe["rough"] = None
    return [
        Field("name", "Name", beam.name if beam else "", "as you call it: 1, north, over the sink"),
        Field("room", "Room", before.room if before else ""),
        Field("end1", "Wall at end 1", beam.ends[0] if beam else "", "left, looking at side A"),
        Field("end2", "Wall at end 2", beam.ends[1] if beam else "", "right, looking at side A"),
        Field(
            "form",
            "Beam type",
            form,
            FORMS_TYPED,
            FORM_CHOICES,
            FORM_NAMES,
        ),
        Field("ceiling", "Ceiling", ceiling, choices=_CEILINGS, answers=CEILINGS),
        Field("pitch", "Pitch, if sloped", _kept(record, before, "pitch"), "6/12 or 26.5deg"),
        Field(
            "pitch_b",
            "Pitch over side B",
            _kept(record, before, "pitch_b"),
            "along a ridge, if it differs",
        ),
        Field(
            "low", "Lower end, if sloped", str(before.low) if before else "1", answers=("1", "2")
        ),
        *(Field(key, asks, mixed(getattr(section, key)), hint) for key, asks, hint in _MEASURES),
        *(Field(key, asks, _length(maybe[key]), hint) for key, asks, hint in _MAYBE),
        Field("bevel", "Relief bevel, degrees", mixed(section.bevel), "about 15"),
        *([Field("note", "Note", beam.note)] if beam else []),
    ]


def _read(answer: Answer) -> Mapping[str, Any]:
    """The beam's fields; raises `NotAllowed` or `BadInput` where an answer won't do."""
    measures = {key: read_length(answer[key]) for key, _, _ in _MEASURES}
    ceiling = ceiling_typed(answer["ceiling"])
    if answer["low"].strip() not in ("1", "2"):
        raise NotAllowed("The lower end must be 1 or 2.")
    if pitch := answer["pitch"].strip():
        read_pitch(pitch)
    if pitch_b := answer["pitch_b"].strip():
        read_pitch(pitch_b)
    fields: dict[str, Any] = {
        "form": form_typed(answer["form"]).id,
        "pitch": pitch,
        "pitch_b": pitch_b,
        "low": int(answer["low"]),
        **{k: read_length(answer[k]) if answer[k].strip() else None for k, _, _ in _MAYBE},
        "name": checked_name(answer["name"], "beam"),
        "room": checked_name(answer["room"], "room"),
        "ends": [answer["end1"].strip(), answer["end2"].strip()],
        "ceiling": ceiling,
        "section": Section(**measures, bevel=read_angle(answer["bevel"])),
    }
    if "note" in answer:
        fields["note"] = answer["note"].strip()
    return fields

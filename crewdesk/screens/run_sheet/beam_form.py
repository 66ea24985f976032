"""The form of a beam: its name, room, ends and section."""

from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime
from fractions import Fraction

from crewdesk.errors import CrewdeskError, NotAllowed
from crewdesk.job.beams.beam import CEILINGS, Beam
from crewdesk.job.beams.beams import add_beam, change_beam
from crewdesk.job.beams.forms import (
    FORM_CHOICES,
    FORM_NAMES,
    FORMS_TYPED,
    USUAL,
    ceiling_typed,
    form_typed,
)
from crewdesk.job.beams.piece import Spot
from crewdesk.job.change import Change
from crewdesk.job.record import Record
from crewdesk.job.text_limits import checked_name
from crewdesk.length import mixed
from crewdesk.screens.parts.ask import Answer, Field, ask_change, filled, read_fields
from crewdesk.screens.parts.program import Program
from crewdesk.trade.angle import read_angle
from crewdesk.trade.cuts.pitch import read_pitch
from crewdesk.trade.cuts.section import Section
from crewdesk.trade.read_length import read_length

_MAYBE = ("height_b", "drop", "ridge_side", "rough")
"""The optional lengths of a beam."""
_CEILINGS = " or ".join(CEILINGS)


def _maybe(text: str) -> Fraction | None:
    return read_length(text) if text.strip() else None


def _pitch(text: str) -> str:
    if pitch := text.strip():
        read_pitch(pitch)
    return pitch


def _end(text: str) -> int:
    if text.strip() not in ("1", "2"):
        raise NotAllowed("The lower end must be 1 or 2.")
    return int(text)


_MEASURES = (
    Field("width", "Width, outside", hint="over the outside of the sides"),
    Field("height", "Side height", hint="to start with, before scribing"),
    Field("side_thickness", "Side thickness"),
    Field("bottom_thickness", "Bottom thickness"),
    Field("reveal", "Reveal", hint="bottom board above the sides' bottom edges"),
    Field("flat", "Flat of the bottom", hint="left square at the show face, 1/8 to 1/4"),
    Field("fit", "Clearance in width", hint="so that it goes up"),
    Field("undercut", "Cut short by", hint="1/32 or 0"),
)
_BEVEL = Field("bevel", "Relief bevel, degrees", hint="about 15", read=read_angle)
_FIELDS = (
    Field(
        "name",
        "Name",
        hint="what you call it: 1, north, over the sink",
        read=lambda text: checked_name(text, "beam"),
    ),
    Field("room", "Room", read=lambda text: checked_name(text, "room")),
    Field("end1", "Wall at end 1", hint="left, looking at side A", read=str.strip),
    Field("end2", "Wall at end 2", hint="right, looking at side A", read=str.strip),
    Field(
        "form",
        "Beam type",
        USUAL,
        FORMS_TYPED,
        FORM_CHOICES,
        FORM_NAMES,
        read=lambda text: form_typed(text).id,
    ),
    Field("ceiling", "Ceiling", "flat", choices=_CEILINGS, answers=CEILINGS, read=ceiling_typed),
    Field("pitch", "Pitch, if sloped", hint="6/12 or 26.5deg", read=_pitch),
    Field("pitch_b", "Pitch over side B", hint="along a ridge, if it differs", read=_pitch),
    Field("low", "Lower end, if sloped", "1", answers=("1", "2"), read=_end),
    *(replace(one, read=read_length) for one in _MEASURES),
    Field("height_b", "Side B's width", hint="if it differs from side A's", read=_maybe),
    Field("drop", "Minimum finished depth", hint="below the ceiling, or empty", read=_maybe),
    Field(
        "ridge_side",
        "Ridge side it meets",
        hint="width of the side it dies into",
        read=_maybe,
    ),
    Field("rough", "Rough length", hint="until it is measured, or empty", read=_maybe),
    _BEVEL,
    Field("note", "Note", read=str.strip),
)
_SECTION = [one.key for one in (*_MEASURES, _BEVEL)]


_ON_RIDGE: Mapping[str, str] = {
    "height": "Drop from the ridge",
    "height_b": "Drop at side B",
    "ceiling": "Ridge",
    "pitch": "Pitch over side A",
}
"""Other labels for a beam along a ridge."""


_CHOICES_ON_RIDGE: Mapping[str, str] = {
    "ceiling": (
        "flat, even where the ceiling slopes down on both sides of the ridge: the beam hangs level"
    ),
}
"""Other choices for a beam along a ridge."""


def ask_beam(app: Program, row: str | None, *, like: str | None = None) -> None:
    """Ask for a new beam or, if `row` names one, change it. A new one starts with the values of the
    row `like`, else of the last beam."""
    record = app.record
    beam = record.beam(row) if row is not None else None
    last = record.beam(like) if like else record.beams[-1] if record.beams else None

    fields = filled(_FIELDS if beam else _FIELDS[:-1], _shown(record, beam, last))

    def act(record: Record, answer: Answer, now: datetime) -> Change:
        read = read_fields(fields, answer)
        read["ends"] = [read.pop("end1"), read.pop("end2")]
        read["section"] = Section(**{key: read.pop(key) for key in _SECTION})
        if row is not None:
            return change_beam(record, row, read, now)
        return add_beam(record, read.pop("name"), read.pop("room"), now, **read)

    ask_change(
        app,
        f"Change {beam.label}" if beam else "A new beam",
        fields,
        act,
        does="Save" if beam else "Add the beam",
        asks=_asks,
        choose=_choices,
        then=lambda change: None if beam else _go_to_new(app, change),
    )


def _go_to_new(app: Program, change: Change) -> None:
    """Put the run sheet's cursor on the beam that was added."""
    from crewdesk.screens.parts.going import cursor_to

    for table, row in change.rows:
        if table == "beams":
            cursor_to(app, Spot(row, next(iter(app.record.beam(row).pieces))))


def _asks(answer: Answer) -> Mapping[str, str]:
    """Return the labels for a beam of the typed type."""
    return _ON_RIDGE if _is_ridge(answer) else {}


def _choices(answer: Answer) -> Mapping[str, str]:
    """Return the choices for a beam of the typed type."""
    return _CHOICES_ON_RIDGE if _is_ridge(answer) else {}


def _is_ridge(answer: Answer) -> bool:
    try:
        return form_typed(answer["form"]).id == "ridge"
    except CrewdeskError:
        return False


def _shown(record: Record, beam: Beam | None, last: Beam | None) -> dict[str, str]:
    """Return the fields' values: the beam's, or the last beam's for a new one."""
    before = beam or last
    section = before.section if before else record.job.section
    shown = {key: mixed(getattr(section, key)) for key in _SECTION}
    if before is not None:
        kept = record.tables["beams"][before.row]
        shown |= {key: str(kept.get(key, "")) for key in ("pitch", "pitch_b")}
        shown |= {key: mixed(has) for key in _MAYBE if (has := getattr(before, key))}
        shown |= {"room": before.room, "form": before.form.typed, "ceiling": before.ceiling}
        shown["low"] = str(before.low)
    if beam is None:
        return shown | {"rough": ""}
    return shown | {
        "name": beam.name,
        "end1": beam.ends[0],
        "end2": beam.ends[1],
        "note": beam.note,
    }

"""Add, change and remove beams, one by one or from a list, and change the job itself."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime
from decimal import Decimal
from fractions import Fraction
from typing import Any

from crewdesk.errors import NotAllowed
from crewdesk.job.beams.beam import Beam, section_to_doc
from crewdesk.job.beams.forms import USUAL, check_thickness, form_of
from crewdesk.job.beams.other_shape import kept_for_shape
from crewdesk.job.beams.readings import READ_TO
from crewdesk.job.beams.take import change_read_to, read_to
from crewdesk.job.beams.type_pieces import pieces_of_type
from crewdesk.job.change import ABSENT, Change, Doc, Edit, edit
from crewdesk.job.cuts.nails import HELD, typed_nails
from crewdesk.job.record import JOB_ROW, Record
from crewdesk.job.steps.stages import USUAL_OTHER_WORK
from crewdesk.job.steps.usual_stages import USUAL_STAGES
from crewdesk.job.text_limits import checked_name, quoted
from crewdesk.job.time.other_work import other_work_named
from crewdesk.length import DEFAULT_STEP, to_type
from crewdesk.trade.beam_list import BeamLine
from crewdesk.trade.cuts.section import Section

BEAM_FIELDS = (
    "name",
    "room",
    "ends",
    "ceiling",
    "note",
    "section",
    "rough",
    "form",
    "height_b",
    "pitch",
    "pitch_b",
    "low",
    "drop",
    "ridge_side",
)
JOB_FIELDS = (
    "name",
    "customer",
    "site",
    "notes",
    "step",
    "zone",
    "section",
    "hour",
    "share",
    "billing",
    "nails",
)
OPTIONAL: Mapping[str, Any] = {
    "form": USUAL,
    "height_b": "",
    "pitch": "",
    "pitch_b": "",
    "low": 1,
    "drop": "",
    "ridge_side": "",
    "rough": "",
    "hour": "",
    "nails": {},
}
"""The optional fields of a beam and of a job, with their defaults."""


def new_job(
    name: str,
    section: Section,
    now: datetime,
    *,
    customer: str = "",
    site: str = "",
    step: str = DEFAULT_STEP.name,
    other_work: Iterable[str] = (),
) -> Change:
    """Return the change that starts a job in an empty record, with the usual stages.

    step: the step of shown lengths, one of `STEPS`. other_work: kinds of work outside the stages;
    the usual ones if empty.
    """
    doc: Doc = {
        "name": checked_name(name, "job"),
        "customer": customer.strip(),
        "site": site.strip(),
        "notes": "",
        "section": section_to_doc(section),
        "step": step,
        "zone": "",
        "stages": USUAL_STAGES.to_doc(),
    }
    other = other_work_named(other_work) or USUAL_OTHER_WORK
    if other != USUAL_OTHER_WORK:
        doc["other_work"] = [one.to_doc() for one in other]
    return Change(f"started the job {doc['name']}", (edit({}, ("job", JOB_ROW), doc),), now)


_SHOWN_PITCH = "6/12"
"""The pitch at which a type along a ridge is shown, if no beam has one yet."""


def beam_of_type(form: str, section: Section, now: datetime) -> Beam:
    """Return a beam of a type, one of `FORMS`, in a job of its own, to show what it is made of.

    Raises `BadInput` if no boards can be made by its section.
    """
    record = Record({})
    record.make(new_job(form, section, now))
    more: dict[str, Any] = {"pitch": _SHOWN_PITCH} if form == "ridge" else {}
    record.make(add_beam(record, "1", form, now, form=form, **more))
    return record.beams[0]


def add_beam(
    record: Record,
    name: str,
    room: str,
    now: datetime,
    *,
    section: Section | None = None,
    ends: tuple[str, str] = ("", ""),
    ceiling: str = "flat",
    form: str = USUAL,
    **more: Any,
) -> Change:
    """Return the change that adds a beam; its section is the job's unless another is given.

    form: one of `FORMS`. more: other values, by names of `BEAM_FIELDS`.
    """
    name, room = checked_name(name, "beam"), checked_name(room, "room")
    _free(record, name, room, "")
    check_thickness(form, section or record.job.section)
    doc = {
        "name": name,
        "room": room,
        "ends": list(ends),
        "ceiling": ceiling,
        "note": "",
        "section": section_to_doc(section or record.job.section),
        "pieces": {key: {"readings": {}, "steps": {}} for key in form_of(form).pieces},
    }
    for key, value in {"form": form, **more}.items():
        if (kept := _kept(key, value)) is not ABSENT:
            doc[key] = kept
    at = ("beams", record.new_row("beams"))
    return Change(f"added beam {room} {name}", (edit(record.tables, at, doc),), now)


def change_beam(record: Record, row: str, fields: Mapping[str, Any], now: datetime) -> Change:
    """Return the change that sets some of `BEAM_FIELDS`; readings keep the shape that they were
    taken for."""
    beam = record.beam(row)
    if unknown := sorted(set(fields) - set(BEAM_FIELDS)):
        raise NotAllowed(f"A beam has no {unknown[0]} to change. It has {', '.join(BEAM_FIELDS)}.")
    name = checked_name(fields.get("name", beam.name), "beam")
    room = checked_name(fields.get("room", beam.room), "room")
    _free(record, name, room, row)
    check_thickness(fields.get("form", beam.form.id), fields.get("section", beam.section))
    typed = {"form": fields["form"]} if "form" in fields else {}
    pieces = pieces_of_type(
        record.tables, row, {**record.tables["beams"][row], **typed}, beam.label
    )
    gone = [one.at[3] for one in pieces if one.after is ABSENT]
    also = [*pieces, *kept_for_shape(record.tables, beam, fields, gone)]
    return _changed(record, ("beams", row), fields, f"changed beam {beam.label}", now, also)


def remove_beam(record: Record, row: str, now: datetime) -> Change:
    """Return the change that removes a beam; undo restores it whole."""
    beam = record.beam(row)
    return Change(f"removed beam {beam.label}", (edit(record.tables, ("beams", row), ABSENT),), now)


def change_job(record: Record, fields: Mapping[str, Any], now: datetime) -> Change:
    """Return the change that sets some of `JOB_FIELDS`."""
    if unknown := sorted(set(fields) - set(JOB_FIELDS)):
        raise NotAllowed(f"A job has no {unknown[0]} to change. It has {', '.join(JOB_FIELDS)}.")
    return _changed(record, ("job", JOB_ROW), fields, "changed the job settings", now)


def find_beam(record: Record, text: str) -> Beam:
    """Return the beam that a text names, by name or by room and name; raises `NotAllowed`."""
    wanted = " ".join(text.split()).casefold()
    named = [b for b in record.beams if wanted in (b.label.casefold(), b.name.casefold())]
    if len(named) == 1:
        return named[0]
    if named:
        labels = ", ".join(beam.label for beam in named)
        raise NotAllowed(
            f"{quoted(text)} could be more than one beam: {labels}. Type more of its name."
        )
    every = ", ".join(beam.label for beam in record.beams) or "none yet"
    raise NotAllowed(f"There is no beam {quoted(text)}. This job's beams: {every}.")


def _changed(
    record: Record,
    at: tuple[str, str],
    fields: Mapping[str, Any],
    what: str,
    now: datetime,
    also: Iterable[Edit] = (),
) -> Change:
    edits = (*(edit(record.tables, (*at, key), _kept(key, v)) for key, v in fields.items()), *also)
    edits = tuple(one for one in edits if one.before != one.after)
    if not edits:
        raise NotAllowed("That is the same as before. Nothing was changed.")
    return Change(what, edits, now)


def _kept(key: str, value: Any) -> Any:
    """Return a field's value as the record keeps it; an empty optional value is left out."""
    if isinstance(value, Section):
        return section_to_doc(value)
    if key in OPTIONAL and value in ("", None, OPTIONAL[key]):
        return ABSENT
    return str(value) if key in OPTIONAL and isinstance(value, Fraction | Decimal) else value


def _free(record: Record, name: str, room: str, row: str) -> None:
    for beam in record.beams:
        same = (beam.room.casefold(), beam.name.casefold()) == (room.casefold(), name.casefold())
        if same and beam.row != row:
            raise NotAllowed(f"{beam.label} is already a beam of this job. Type another name.")


def instruments_shown(record: Record) -> dict[str, str]:
    """Return each instrument's step, as typed."""
    own, step = read_to(record), record.job.step
    return {name: to_type(own.get(name, usual), step) for name, usual in READ_TO.items()}


def nails_shown(record: Record) -> dict[str, str]:
    """Return the nails that the user chose, as typed; empty if they follow the boards."""
    nails, step = record.job.nails, record.job.step
    return {what: to_type(nails[what], step) if what in nails else "" for what in HELD}


def change_about(
    record: Record,
    fields: Mapping[str, Any],
    instruments: Mapping[str, str],
    nails: Mapping[str, str],
    now: datetime,
) -> Change:
    """Return one change of the job's `fields`, its `instruments`' steps and its `nails`' lengths,
    each as typed; equal values stay.

    Raises `NotAllowed`, and `BadInput` if a length can't be read.
    """
    unit = "mm" if record.job.step.mm else "in"
    fields = dict(fields)
    if any(text.strip() != nails_shown(record)[what] for what, text in nails.items()):
        sections = [(b.label, b.section) for b in record.beams if "cleats" in b.pieces]
        usual = [("the job's usual section", record.job.section)]
        fields["nails"] = typed_nails(
            nails, sections or usual, projection=record.job.cutting.cleat, unit=unit
        )
    edits = change_job(record, fields, now).edits if fields else ()
    if any(text.strip() != instruments_shown(record)[name] for name, text in instruments.items()):
        edits += change_read_to(record, instruments, now).edits
    if not edits:
        raise NotAllowed("That is the same as before. Nothing was changed.")
    return Change("changed the job settings", edits, now)


MOST_BEAMS = 500


def add_listed(
    record: Record, lines: Sequence[BeamLine], now: datetime, *, form: str = USUAL
) -> Change:
    """Return the change that adds every beam of a list.

    A line without a section takes the job's; one with its own keeps the job's thicknesses, reveal
    and relief. Raises `NotAllowed`, and `BadInput` if a section leaves no room for its boards.
    """
    total = sum(line.count for line in lines)
    if total + len(record.beams) > MOST_BEAMS:
        raise NotAllowed(f"A job can have up to {MOST_BEAMS} beams. Nothing was changed.")
    if not total:
        raise NotAllowed("There is no beam in the list.")
    grown = Record(dict(record.tables, beams=dict(record.tables.get("beams", {}))))
    rooms: dict[str, int] = {}
    edits: list[Edit] = []
    for line in lines:
        room = next(
            (one.room for one in grown.beams if one.room.casefold() == line.room.casefold()),
            line.room,
        )
        section = _section(record.job.section, line)
        first = _first_free(grown, room)
        for number in range(first, first + line.count):
            added = add_beam(
                grown,
                str(number),
                room,
                now,
                section=section,
                ceiling="sloped" if line.pitch else "flat",
                form=form,
                rough=line.length,
                pitch=line.pitch,
            )
            grown.make(added)
            edits += added.edits
        rooms[room] = rooms.get(room, 0) + line.count
    text = ", ".join(f"{count} in {room}" for room, count in rooms.items())
    return Change(f"added {total} beam{'' if total == 1 else 's'}: {text}", tuple(edits), now)


def _first_free(record: Record, room: str) -> int:
    """Return the number after the highest one in a room's beam names."""
    names = (one.name for one in record.beams if one.room == room)
    return 1 + max((int(name) for name in names if name.isascii() and name.isdecimal()), default=0)


def _section(usual: Section, line: BeamLine) -> Section:
    if line.width is None or line.height is None:
        return usual
    return usual._replace(width=line.width, height=line.height)

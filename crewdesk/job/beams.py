"""Adding, changing and removing beams, and what is true of the whole job."""

from collections.abc import Iterable, Mapping
from datetime import datetime
from decimal import Decimal
from fractions import Fraction
from typing import Any

from crewdesk.errors import NotAllowed
from crewdesk.job.beam import Beam, section_to_doc
from crewdesk.job.beam_pieces import pieces_of_type
from crewdesk.job.change import ABSENT, Change, Doc, Edit, edit
from crewdesk.job.forms import USUAL, check_thickness, form_of
from crewdesk.job.other_shape import kept_for_shape
from crewdesk.job.other_work import other_work_named
from crewdesk.job.record import JOB_ROW, Record
from crewdesk.job.stages import USUAL_OTHER_WORK
from crewdesk.job.usual_stages import USUAL_STAGES
from crewdesk.job.words import checked_name, quoted
from crewdesk.length import DEFAULT_STEP
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
"""The fields that a beam or a job may lack, and what each then is."""


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
    """The change that begins a job in an empty record, with the usual stages; `step` is
    what its lengths are shown to, one of `STEPS`. `other_work` names the kinds of work
    outside the stages, the usual ones where it names none."""
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
        doc["other_work"] = [vars(one) for one in other]
    return Change(f"began the job {doc['name']}", (edit({}, ("job", JOB_ROW), doc),), now)


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
    """The change that adds a beam; its section is the job's unless another is given.

    `form` is one of `FORMS`; `more` gives what else is known of it, out of `BEAM_FIELDS`.
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
    """The change that gives a beam other values for some of `BEAM_FIELDS`; what was read of it
    keeps the shape that it was read for."""
    beam = record.beam(row)
    if unknown := sorted(set(fields) - set(BEAM_FIELDS)):
        raise NotAllowed(f"A beam has no {unknown[0]} to change; it has {', '.join(BEAM_FIELDS)}.")
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
    """The change that takes a beam out of the job; undoing brings it back whole."""
    beam = record.beam(row)
    return Change(f"removed beam {beam.label}", (edit(record.tables, ("beams", row), ABSENT),), now)


def change_job(record: Record, fields: Mapping[str, Any], now: datetime) -> Change:
    """The change that gives the job other values for some of `JOB_FIELDS`."""
    if unknown := sorted(set(fields) - set(JOB_FIELDS)):
        raise NotAllowed(f"A job has no {unknown[0]} to change; it has {', '.join(JOB_FIELDS)}.")
    return _changed(record, ("job", JOB_ROW), fields, "changed what is true of the job", now)


def find_beam(record: Record, text: str) -> Beam:
    """The beam that a text names: its name, or room and name; raises `NotAllowed`."""
    wanted = " ".join(text.split()).casefold()
    named = [b for b in record.beams if wanted in (b.label.casefold(), b.name.casefold())]
    if len(named) == 1:
        return named[0]
    if named:
        labels = ", ".join(beam.label for beam in named)
        raise NotAllowed(f"{quoted(text)} names more than one beam: {labels}.")
    every = ", ".join(beam.label for beam in record.beams) or "none yet"
    raise NotAllowed(f"There is no beam {quoted(text)}; this job's beams: {every}.")


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
        raise NotAllowed("Nothing is different; nothing was changed.")
    return Change(what, edits, now)


def _kept(key: str, value: Any) -> Any:
    """A field's value as the record keeps it; what is optional and empty is left out."""
    if isinstance(value, Section):
        return section_to_doc(value)
    if key in OPTIONAL and value in ("", None, OPTIONAL[key]):
        return ABSENT
    return str(value) if key in OPTIONAL and isinstance(value, Fraction | Decimal) else value


def _free(record: Record, name: str, room: str, row: str) -> None:
    for beam in record.beams:
        same = (beam.room.casefold(), beam.name.casefold()) == (room.casefold(), name.casefold())
        if same and beam.row != row:
            raise NotAllowed(f"{beam.label} is already a beam of this job; nothing was changed.")

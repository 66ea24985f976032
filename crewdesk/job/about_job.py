"""What is true of the whole job, changed at once: its fields, steps of reading, nails."""

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from crewdesk.errors import NotAllowed
from crewdesk.job.beams import change_job
from crewdesk.job.change import Change
from crewdesk.job.nails import HELD, typed_nails
from crewdesk.job.readings import READ_TO
from crewdesk.job.record import Record
from crewdesk.job.take import change_read_to, read_to
from crewdesk.length import to_type


def instruments_shown(record: Record) -> dict[str, str]:
    """What each instrument is read to, as it is typed."""
    own, step = read_to(record), record.job.step
    return {name: to_type(own.get(name, usual), step) for name, usual in READ_TO.items()}


def nails_shown(record: Record) -> dict[str, str]:
    """The nails that the user chose, as typed; empty where they follow the boards."""
    nails, step = record.job.nails, record.job.step
    return {what: to_type(nails[what], step) if what in nails else "" for what in HELD}


def change_about(
    record: Record,
    fields: Mapping[str, Any],
    instruments: Mapping[str, str],
    nails: Mapping[str, str],
    now: datetime,
) -> Change:
    """One change of the job's `fields`, the steps that its `instruments` are read to and
    the lengths of its `nails`, each as typed; what is the same stays.

    Raises `NotAllowed`, and `BadInput` where a length can't be read.
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
        raise NotAllowed("Nothing is different; nothing was changed.")
    return Change("changed what is true of the job", edits, now)

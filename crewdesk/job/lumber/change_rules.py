"""Changing how a job's boards are cut, each rule as it is typed."""

from collections.abc import Mapping
from dataclasses import fields
from datetime import datetime
from fractions import Fraction

from crewdesk.errors import NotAllowed
from crewdesk.job.change import Change, Doc, edit
from crewdesk.job.lumber.cutting_rules import ALL, READERS, CuttingRules
from crewdesk.job.record import Record
from crewdesk.job.rows import ONLY_ROW
from crewdesk.job.words import brief
from crewdesk.length import show_length
from crewdesk.trade.read_length import read_length


def rules_shown(record: Record) -> dict[str, str]:
    """Every rule of a job as it is typed."""
    rules = record.job.cutting
    told = {one.name: getattr(rules, one.name) for one in fields(CuttingRules)}
    labels = [
        ALL if row == ALL else record.beam(row).label
        for row in rules.match
        if row == ALL or row in record.tables.get("beams", {})
    ]
    return {
        key: show_length(value)
        if isinstance(value, Fraction)
        else ", ".join(labels)
        if key == "match"
        else str(value)
        for key, value in told.items()
    }


def change_rules(record: Record, typed: Mapping[str, str], now: datetime) -> Change:
    """The change that gives a job other rules, each as typed; raises `NotAllowed` or `BadInput`."""
    new: Doc = dict(record.tables["job"][ONLY_ROW].get("cutting", {}))
    for key, text in typed.items():
        if key not in READERS:
            raise NotAllowed(f"Cutting has no rule {brief(key)}; it has {', '.join(READERS)}.")
        value = _beams(record, text) if key == "match" else text.strip()
        read = READERS[key](value, lambda given, _: read_length(given))
        usual = getattr(CuttingRules(), key)
        if read == usual:
            new.pop(key, None)
        else:
            new[key] = list(read) if isinstance(read, tuple) else str(read)
    at = ("job", ONLY_ROW, "cutting")
    put = edit(record.tables, at, new)
    if CuttingRules.from_doc(new) == record.job.cutting:
        raise NotAllowed("Nothing is different; nothing was changed.")
    return Change("changed how boards are cut", (put,), now)


def _beams(record: Record, text: str) -> list[str]:
    """The rows of the beams that a text names, parted by commas."""
    from crewdesk.job.beams import find_beam

    named = [" ".join(part.split()) for part in text.split(",") if part.strip()]
    if [one.casefold() for one in named] in ([], ["none"]):
        return []
    if ALL in (one.casefold() for one in named):
        return [ALL]
    return list(dict.fromkeys(find_beam(record, one).row for one in named))

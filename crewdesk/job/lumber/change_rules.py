"""Changing how a job's boards are cut, each rule as it is typed."""

from collections.abc import Mapping
from datetime import datetime
from fractions import Fraction

from crewdesk.errors import NotAllowed
from crewdesk.job.change import Change, Doc, edit
from crewdesk.job.lumber.cutting_rules import ALL, INCHES, CuttingRules
from crewdesk.job.record import Record
from crewdesk.job.rows import ONLY_ROW
from crewdesk.job.text_limits import brief
from crewdesk.length import show_length
from crewdesk.trade.read_length import read_length


def rules_shown(record: Record) -> dict[str, str]:
    """Every rule of a job as it is typed."""
    rules = record.job.cutting
    told = rules._asdict()
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
    known = CuttingRules.by_key()
    for key, text in typed.items():
        if key not in known:
            raise NotAllowed(f"Cutting has no rule {brief(key)}; it has {', '.join(known)}.")
        rule, value = known[key], text.strip()
        if rule.kind.about == INCHES:
            value = str(read_length(value))
        read = rule.read(_beams(record, text) if key == "match" else value)
        if read == rule.default:
            new.pop(key, None)
        else:
            new[key] = rule.kind.write(read)
    at = ("job", ONLY_ROW, "cutting")
    put = edit(record.tables, at, new)
    if CuttingRules.from_doc(new) == record.job.cutting:
        raise NotAllowed("That is the same as before. Nothing was changed.")
    return Change("changed how boards are cut", (put,), now)


def _beams(record: Record, text: str) -> list[str]:
    """The rows of the beams that a text names, parted by commas."""
    from crewdesk.job.beams.beams import find_beam

    named = [" ".join(part.split()) for part in text.split(",") if part.strip()]
    if [one.casefold() for one in named] in ([], ["none"]):
        return []
    if ALL in (one.casefold() for one in named):
        return [ALL]
    return list(dict.fromkeys(find_beam(record, one).row for one in named))

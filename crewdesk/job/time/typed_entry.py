"""Time entries from typed text: times, stage, note and billing."""

import re
from collections.abc import Mapping
from datetime import date, datetime, time, timedelta, tzinfo
from typing import Any

from crewdesk.errors import BadInput, NotAllowed, Unread
from crewdesk.job.change import Change, edit
from crewdesk.job.record import Record
from crewdesk.job.steps.stages import Stages
from crewdesk.job.text_limits import brief, quoted
from crewdesk.job.time.clock import add, lasted_told, mend
from crewdesk.job.time.entry import Entry
from crewdesk.job.time.entry_fixes import move, split
from crewdesk.trade.books.dates import ClockChange, read_day
from crewdesk.trade.books.durations import DURATION
from crewdesk.trade.books.money import read_rate
from crewdesk.trade.books.read_time import Moment, Span, StopFirst, no_time, read_spans, read_time

_STOP_FORMS = "9:55, 2:30pm or, for how long it ran, 1h20"
_BARE_CLOCK = re.compile(r"(?<![\d.,/:])(\d{1,2})[.,](\d\d)(?=\s*(?:[-\u2013]|to\b|[ap]m|for\b|$))")
"""``7.30`` or ``7,30`` as a time of day, not a duration such as ``7.25 h``."""

Typed = Mapping[str, str]
"""The typed lines: `stage` and `note`; `when` of a new entry; `day`, `start` and `stop` of a
corrected one; `billed`, `rate` and `order` if asked for."""


def shown_entry(record: Record, entry: Entry, zone: tzinfo) -> dict[str, str]:
    """Return the lines of an entry, on the clocks of `zone`."""
    start = entry.start.astimezone(zone)
    stop = entry.stop.astimezone(zone) if entry.stop else None
    other_day = stop is not None and stop.date() != start.date()
    return {
        "day": f"{start:%Y-%m-%d}",
        "start": f"{start:%H:%M}",
        "stop": f"{stop:%Y-%m-%d %H:%M}" if other_day else f"{stop:%H:%M}" if stop else "",
        "stage": record.stages.name_of(entry.stage),
        "note": entry.note,
        "billed": "yes" if entry.billable else "no",
        "rate": "" if entry.rate is None else str(entry.rate),
        "order": entry.order,
    }


def added(record: Record, typed: Typed, now: datetime, zone: tzinfo) -> Change:
    """Return the change that adds the entry, or all of several typed stretches.

    Raises `NotAllowed` or `BadInput` for an invalid line.
    """
    spans = _spans(typed["when"], now, zone)
    stage, billing = stage_named(record.stages, typed["stage"]), _billing(record, typed)
    made = [
        add(record, stage, one.start, one.stop, now, note=typed["note"], **billing) for one in spans
    ]
    if len(made) == 1:
        return made[0]
    first = int(record.new_row("entries"))
    docs = [one.edits[0].after for one in made]
    edits = [edit(record.tables, ("entries", f"{row}"), doc) for row, doc in enumerate(docs, first)]
    entries = [Entry.from_doc("", doc) for doc in docs]
    name = record.stages.work_of(stage).name
    what = f"added {lasted_told(entries, now)} on {name}, as {len(made)} entries"
    return Change(what, tuple(edits), now)


def _spans(text: str, now: datetime, zone: tzinfo) -> tuple[Span, ...]:
    """Return the typed stretches; a comma between two figures separates hours from minutes if that
    makes sense, else two stretches."""
    try:
        return read_spans(_BARE_CLOCK.sub(r"\1:\2", text), now, zone)
    except Unread as refusal:
        if "," not in text:
            raise
        try:
            return read_spans(text, now, zone)
        except BadInput:
            raise refusal from None


def mended(record: Record, row: str, typed: Typed, now: datetime, zone: tzinfo) -> Change:
    """Return the change that corrects an entry to the typed values; raises as `added` does.

    An unchanged time keeps its seconds. An empty stop leaves a running clock running.
    """
    entry = record.entry(row)
    old = shown_entry(record, entry, zone)
    day = read_day(typed["day"], now.astimezone(zone).date())
    other_day = f"{day:%Y-%m-%d}" != old["day"]
    begin, end = entry.start, entry.stop
    if typed["stop"].strip():
        if other_day or (typed["start"].strip(), typed["stop"].strip()) != (
            old["start"],
            old["stop"],
        ):
            span = _span(typed["start"], typed["stop"], day, zone)
            begin = (
                begin if not other_day and typed["start"].strip() == old["start"] else span.start
            )
            end = end if not other_day and typed["stop"].strip() == old["stop"] else span.stop
    elif not entry.running:
        raise NotAllowed("Type when it stopped. A clock that has stopped can't be started again.")
    elif other_day or typed["start"].strip() != old["start"]:
        begin = _moment(typed["start"], day, zone)
    same = typed["stage"].strip() == old["stage"]
    return mend(
        record,
        row,
        now,
        stage=entry.stage if same else stage_named(record.stages, typed["stage"]),
        begin=begin,
        end=end,
        note=typed["note"],
        **_billing(record, typed),
    )


def moved(record: Record, row: str, typed: Typed, now: datetime, zone: tzinfo) -> Change:
    """Return the change that moves an entry to the typed `day` and `start`, keeping its length."""
    day = read_day(typed["day"], now.astimezone(zone).date())
    return move(record, row, _moment(typed["start"], day, zone), now)


def split_at(record: Record, row: str, text: str, now: datetime, zone: tzinfo) -> Change:
    """Return the change that splits an entry at a typed time, the first such time after its
    start."""
    entry = record.entry(row)
    start = entry.start.astimezone(zone)
    at = _moment(text, start.date(), zone)
    if at <= entry.start and (entry.stop or now).astimezone(zone).date() > start.date():
        at = _moment(text, start.date() + timedelta(days=1), zone)
    return split(record, row, at, now)


def _billing(record: Record, typed: Typed) -> dict[str, Any]:
    """Return the typed billing of an entry; raises `NotAllowed` or `BadInput`."""
    found: dict[str, Any] = {}
    if "billed" in typed:
        word = typed["billed"].strip().lower()
        if word not in ("yes", "no"):
            raise NotAllowed(
                f"Whether it is billable must be yes or no, not {brief(typed['billed'])}."
            )
        found["billable"] = word == "yes"
    if "rate" in typed:
        found["rate"] = None
        if typed["rate"].strip():
            rate = read_rate(typed["rate"])
            if rate.per != "hour" or not rate.amount:
                raise NotAllowed(
                    "An entry's hourly rate must be more than zero. Type it like 85 or 85/h."
                )
            found["rate"] = rate.amount
    if "order" in typed:
        found["order"] = _order_named(record, typed["order"])
    return found


def _order_named(record: Record, text: str) -> str:
    """Return the row of the change order with that number or beginning of its text, or ""."""
    wanted = " ".join(text.split()).casefold()
    if not wanted:
        return ""
    if any(one.row == wanted for one in record.orders):
        return wanted
    begun = [one.row for one in record.orders if one.text.casefold().startswith(wanted)]
    if len(begun) == 1:
        return begun[0]
    line = ", ".join(f"{one.row} {one.text}" for one in record.orders)
    known = f"type its number: {line}" if line else "this job has none"
    raise NotAllowed(f"{brief(text.strip())} could be more than one change order; {known}.")


def stage_named(stages: Stages, text: str) -> str:
    """Return the id of the stage or other work with that number, name or beginning of its name.

    Numbers go from 1 up, through the stages and then the other work.
    """
    wanted = " ".join(text.split()).casefold()
    every = stages.work
    if (number := _number(wanted)) and number <= len(every):
        return every[number - 1].id
    exact = [one.id for one in every if one.name.casefold() == wanted]
    begun = [one.id for one in every if wanted and one.name.casefold().startswith(wanted)]
    found = exact or begun
    if len(found) == 1:
        return found[0]
    names = ", ".join(f"{number} {one.name}" for number, one in enumerate(every, 1))
    what = f"{quoted(text)} could be more than one stage" if wanted else "Choose a stage"
    raise NotAllowed(f"{what}. Type its number or its name: {names}.")


def _number(text: str) -> int | None:
    """Return the number in a text of at most six digits."""
    return int(text) if text.isdecimal() and len(text) <= 6 else None


def stop_time(start: datetime, text: str, now: datetime) -> datetime:
    """Return when a clock started at `start` stopped, as typed: ``9:55``, ``1h20``.

    A time without am or pm is the first one of its kind after the start, on the
    clocks of `start`'s zone; a day before it, as in ``yesterday 6pm``, counts from `now`.
    Raises `NotAllowed` or `BadInput`.
    """
    zone = start.tzinfo
    assert zone is not None
    plain = _colon(" ".join(text.split()).lower())
    if not plain:
        raise NotAllowed(f"Type when it stopped: {_STOP_FORMS}.")
    day = start.date()
    later = (f"{plain}pm", f"{day + timedelta(days=1)} {plain}")
    bare = re.fullmatch(r"\d{1,2}(?::\d{2})?", plain) is not None
    dated = None if bare else _dated(plain, now, zone)
    for candidate in (plain, *(later if bare else ())):
        try:
            stop = _span(f"{start:%H:%M}", candidate, day, zone).stop
        except ClockChange:
            raise
        except BadInput as refusal:
            if candidate != plain or isinstance(refusal, StopFirst) or dated is not None:
                continue
            raise NotAllowed(f"{quoted(text)} isn't a time. Type it like {_STOP_FORMS}.") from None
        if start < stop <= now:
            return stop
    if dated is not None and start < dated <= now:
        return dated
    here = now.astimezone(zone)
    line = "%H:%M" if here.date() == day else "%a %H:%M"
    raise NotAllowed(
        f"The clock ran from {start:{line}} to now, {here:{line}}. {quoted(text)} isn't "
        "between them."
    )


def _dated(text: str, now: datetime, zone: tzinfo) -> datetime | None:
    """Return the moment of a text with a day in it, relative to now."""
    try:
        return _moment(text, now.astimezone(zone).date(), zone)
    except BadInput:
        return None


def _span(start: str, stop: str, day: date, zone: tzinfo) -> Span:
    if not start.strip():
        raise NotAllowed("Type when it started, for example 7:30.")
    start, stop = _colon(start), _colon(stop)
    plain = stop.lower()
    joined = f"{start} for {stop}" if re.fullmatch(DURATION, plain) else f"{start}-{stop}"
    found = read_time(joined, _noon(day, zone), zone)
    if not isinstance(found, Span):
        raise no_time(f"{start} to {stop}")
    return found


def _moment(text: str, day: date, zone: tzinfo) -> datetime:
    found = read_time(_colon(text), _noon(day, zone), zone)
    if not isinstance(found, Moment):
        raise no_time(text.strip())
    return found.at


def _colon(text: str) -> str:
    """Return `730`, `7.30` and `7,30` as `7:30`; anything else unchanged."""
    return re.sub(r"^(\d{1,2})[.,]?(\d\d)$", r"\1:\2", text.strip())


def _noon(day: date, zone: tzinfo) -> datetime:
    return datetime.combine(day, time(12), zone)

"""The lines of the hours page: days, their entries, and oddities between them."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date, datetime, timedelta

from rich.text import Text

from crewdesk.job.books.work_value import billed_time
from crewdesk.job.record import Record
from crewdesk.job.time.entry import Entry
from crewdesk.job.time.entry_fixes import oddity_text
from crewdesk.job.time.logged import (
    Day,
    beam_seconds,
    by_stage,
    day_spans,
    entry_day,
    hours_shown,
    on_day,
    on_site,
    order_told,
    total,
)
from crewdesk.paper.plain import plain
from crewdesk.screens.hours.day import day_parts, hour_marks
from crewdesk.screens.parts.lines import Row
from crewdesk.screens.parts.list_page import fit
from crewdesk.screens.parts.stick import ruled
from crewdesk.sentence import many
from crewdesk.trade.books.dates import weekday
from crewdesk.trade.books.durations import Oddity, short, to_the_minute
from crewdesk.trade.books.rounding import Rule

_STAGE = 16
_DAY, _TOTAL = 29, 8
_BEFORE_STICK = _DAY + _TOTAL + 2
"""The columns for a day's name, its total, and both with the gaps around its stick."""


def hour_rows(
    record: Record,
    days: Sequence[Day],
    now: datetime,
    odd: Mapping[str, Oddity],
    width: int,
) -> list[Row]:
    """Return each day's rule with its total and its stick of hours, then its entries, each with its
    oddities below."""
    today = entry_day(record, now)
    names = [plain(one.name) for one in record.stages.work]
    wide = min(max(len(name) for name in names), _STAGE)
    below: dict[str, list[Row]] = {}
    for key, one in odd.items():
        below.setdefault(one.keys[-1], []).append(_odd_row(record, one, key))
    rows: list[Row] = []
    room = max(width - _BEFORE_STICK, 0)
    spans = {one.day: day_spans(record, one.entries, now) for one in days}
    first, last = hours_shown([span for of_day in spans.values() for span in of_day])
    for one_day in days:
        rows.append(
            Row(
                *ruled(_day_told(one_day.day, today), _DAY),
                (f"{to_the_minute(one_day.total):>{_TOTAL}}  ", "strong"),
                *day_parts(spans[one_day.day], first, last, room),
            )
        )
        for entry in one_day.entries:
            rows += [_row(record, entry, now, wide), *below.get(entry.row, ())]
    return rows


def hour_heads(record: Record, days: Iterable[Day], now: datetime, width: int) -> str:
    """Return the names of the hours over the days' sticks."""
    spans = [span for one in days for span in day_spans(record, one.entries, now)]
    room = max(width - _BEFORE_STICK, 0)
    return " " * _BEFORE_STICK + hour_marks(*hours_shown(spans), room)


def _odd_row(record: Record, one: Oddity, key: str) -> Row:
    if one.sort == "gap":
        words = f"   {one.start:%H:%M} to {one.stop:%H:%M}  nothing logged for {short(one.seconds)}"
        return Row((words, "muted"), key=key)
    return Row((f" ! {plain(oddity_text(record, one))}", "wrong"), key=key)


def entry_told(record: Record, entry: Entry, now: datetime, rule: Rule) -> str:
    """Return how an entry is billed and shared among its pieces, in two lines."""
    billed = {one.key: one for one in billed_time(record, rule, now, order=entry.order).entries}
    if entry.billable and entry.row in billed:
        text = f"Worked {short(billed[entry.row].seconds)}"
        text += f", billed {short(billed[entry.row].billed_seconds)}"
    else:
        text = "Non-billable"
    if entry.rate is not None:
        text += f" at {entry.rate}/h"
    if entry.order:
        text += f", on the change order {plain(order_told(record, entry))}"
    if not entry.pieces:
        return f"{text}.\nIt has no pieces, so no beam gets a share of it."
    labels = {beam.row: beam.label for beam in record.beams}
    parts = ", ".join(
        f"{plain(labels.get(beam, 'a removed beam'))} {short(seconds)}"
        for beam, seconds in beam_seconds(record, [entry], now).items()
    )
    way = "evenly" if record.job.share == "evenly" else "by length"
    count = len(entry.pieces)
    return f"{text}.\n{many(count, 'piece')}, shared {way}: {parts}"


def _day_told(day: date, today: date) -> str:
    near = {today: ", today", today - timedelta(days=1): ", yesterday"}.get(day, "")
    year = "" if day.year == today.year else f", {day.year}"
    return f"{weekday(day)}{year}{near}"


def _row(record: Record, entry: Entry, now: datetime, wide: int) -> Row:
    start = on_site(record, entry.start)
    if entry.stop is None:
        until = "now"
    else:
        stop = on_site(record, entry.stop)
        days = (stop.date() - start.date()).days
        until = f"{stop:%H:%M}{f' +{days}' if days else ''}"
    stage = plain(record.stages.name_of(entry.stage))
    ink = "running" if entry.running else "text"
    pieces = f"{len(entry.pieces)} pc" if entry.pieces else ""
    marks = " ".join(
        mark
        for mark in (
            "" if entry.billable else "non-billable",
            f"{entry.rate}/h" if entry.rate is not None else "",
            "extra" if entry.order else "",
            entry.note.replace("\n", " "),
        )
        if mark
    )
    return Row(
        (f" {'▶' if entry.running else ' '} {start:%H:%M} to {until:<8} ", ink),
        (f"{to_the_minute(entry.lasted(now)):>7}  ", ink),
        (f"{fit(stage, wide)} ", ink),
        (f"{pieces:>6}  ", "muted"),
        (marks, "muted"),
        key=entry.row,
    )


def totals(record: Record, now: datetime, width: int) -> Text:
    """Return the job's time, today's, and each stage's, as many to a line as fit."""
    today = total(on_day(record, entry_day(record, now)), now)
    text = Text(no_wrap=True)
    text.append(f"Whole job {to_the_minute(total(record.entries, now))}", style="bold")
    text.append(f"   today {to_the_minute(today)}")
    line = width
    for stage, time in by_stage(record, record.entries, now):
        part = plain(f"{record.stages.name_of(stage)} {to_the_minute(time)}")
        goes_in = line + 3 + len(part) <= width
        text.append(f"   {part}" if goes_in else f"\n{part}")
        line = line + 3 + len(part) if goes_in else len(part)
    return text

"""A month as a grid of days, with marks on days that are planned and days that were worked."""

from calendar import SUNDAY, Calendar
from collections.abc import Iterable
from datetime import date, timedelta
from typing import NamedTuple

from crewdesk.screens.parts.stick import Part, ruled

WORKED, PLANNED = "\u25a0", "\u25a1"
KEY = f"{WORKED} worked  {PLANNED} planned  [ ] today"
"""What the marks say."""
_NAMES = ("Su", "Mo", "Tu", "We", "Th", "Fr", "Sa")


class Marks(NamedTuple):
    """The days that are marked: `worked` and `planned`, `today`, and `here` for the cursor's."""

    worked: frozenset[date]
    planned: frozenset[date]
    today: date
    here: date | None


def month_parts(day: date, marks: Marks, cell: int) -> list[list[Part]]:
    """Return the lines of a day's month, seven cells of `cell` columns wide, at least 5: the name
    of the month in a rule, those of the days, and the weeks from Sunday on."""
    heads = "".join(f"{name:>3}{'':<{cell - 3}}" for name in _NAMES)
    lines: list[list[Part]] = [ruled(f"{day:%B %Y}", 7 * cell), [(heads, "muted")]]
    for week in Calendar(SUNDAY).monthdatescalendar(day.year, day.month):
        lines.append(
            [
                _cell(one, marks, cell) if one.month == day.month else (" " * cell, "text")
                for one in week
            ]
        )
    return lines


def _cell(day: date, marks: Marks, cell: int) -> Part:
    worked, planned = day in marks.worked, day in marks.planned
    sign = WORKED if worked else PLANNED if planned else " "
    before, after = ("[", "]") if day == marks.today else (" ", " ")
    before = ">" if day == marks.here else before
    text = f"{before}{day.day:>2}{after if after == ']' else ''}{sign}"
    ink = "made" if worked else "strong" if planned else "muted"
    return f"{text:<{cell}}", ink


def next_month(day: date) -> date:
    """Return the first day of the month after a day's."""
    return (day.replace(day=1) + timedelta(days=32)).replace(day=1)


def marked(
    worked: Iterable[date], planned: Iterable[date], today: date, here: date | None
) -> Marks:
    """Return the marks of days that were worked and that are planned."""
    return Marks(frozenset(worked), frozenset(planned), today, here)

"""Weeks as rows: each day a stick as long as its work, planned days and today with their signs."""

from collections.abc import Collection, Mapping
from datetime import date, timedelta

from crewdesk.screens.parts.stick import IDLE, LEFT, MADE, NOTCH, Part, stick
from crewdesk.trade.books.dates import day_text

PLANNED = "\u25a1"
KEY = f"{MADE} worked  {PLANNED} planned  {NOTCH} today"
"""What the signs say."""
NAME = 8
"""Columns before the days of a week: its first day."""
_SHORTEST = 3
_DAYS = 7


def cell_of(width: int) -> int:
    """Return the columns of a day, one of them before it, in a line of that width."""
    return max((width - NAME - 1) // _DAYS, _SHORTEST + 1)


def week_of(day: date) -> date:
    """Return the Sunday that a day's week begins with."""
    return day - timedelta(days=day.isoweekday() % _DAYS)


def weeks_shown(days: Collection[date], here: date, most: int) -> list[date]:
    """Return the first days of the weeks of some days, the earliest first, `most` at most: those
    round `here` where they are more."""
    every = [week_of(min(days))]
    while every[-1] < week_of(max(days)):
        every.append(every[-1] + timedelta(weeks=1))
    at = max(min(every.index(week_of(here)) - most // 2, len(every) - most), 0)
    return every[at : at + most]


def heads(week: date, width: int) -> list[Part]:
    """Return the names of the days over the weeks."""
    days = (week + timedelta(days=at) for at in range(_DAYS))
    cell = cell_of(width)
    return [(" " * NAME + "".join(f" {day:%a}".ljust(cell) for day in days), "muted")]


def week_parts(
    week: date,
    worked: Mapping[date, timedelta],
    planned: Collection[date],
    today: date,
    width: int,
) -> list[Part]:
    """Return a week: its first day, then each day's stick, the longest of all as long as there is
    room; today has a notch before it."""
    cell = cell_of(width)
    most = max((time.seconds for time in worked.values()), default=1)
    parts: list[Part] = [(f" {day_text(week, year=False)}".ljust(NAME)[:NAME], "text")]
    for at in range(_DAYS):
        day = week + timedelta(days=at)
        parts.append((NOTCH if day == today else " ", "strong"))
        if day in worked:
            parts += stick(worked[day].seconds, None, most, cell - 1)
        elif day in planned:
            ink = "strong" if day >= today else "muted"
            parts += [(PLANNED, ink), (LEFT * (cell - 2), "muted")]
        else:
            parts.append((IDLE * (cell - 1), "muted"))
    return parts

"""A day as a stick of hours: its work and its gaps."""

from collections.abc import Iterable

from crewdesk.job.time.logged import Span
from crewdesk.screens.parts.stick import Part, day_stick, place

_HOUR = 60
_LABEL = 3
"""Columns for an hour's name, and one between two."""


def day_parts(spans: Iterable[Span], first: int, last: int, width: int) -> list[Part]:
    """Return a day's stick from one minute of the day to another."""
    made = (
        (one.begin, min(one.end, last), "running" if one.entry.running else "made") for one in spans
    )
    return day_stick(made, first, last, width)


def hour_marks(first: int, last: int, width: int) -> str:
    """Return the names of hours, each where its hour begins on a stick of that width; as many as
    there is room for."""
    hours = (last - first) // _HOUR
    every = next((one for one in (1, 2, 3, 4, 6) if width * one >= hours * _LABEL), 12)
    line = ""
    for minute in range(first, last + 1, _HOUR * every):
        at = place(minute - first, last - first, width)
        name = f"{minute // _HOUR}"
        if at >= len(line) and at + len(name) <= width + 1:
            line += " " * (at - len(line)) + name
    return line

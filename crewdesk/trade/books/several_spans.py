"""A day's work with a break in it, as people write it: ``8-12, 12:30-16``."""

import re
from datetime import datetime, time, tzinfo

from crewdesk.errors import Ambiguous, BadInput, Unread
from crewdesk.trade.books.dates import DAY_FORM
from crewdesk.trade.books.read_time import (
    Moment,
    Span,
    check_past,
    no_stop,
    no_time,
    read_span,
    read_time,
)

_BETWEEN = r"\s*(?:[,;&+]|\band\b)\s*"
_STRETCH = re.compile(r"\d.*(?:[-\u2010-\u2015\u2212]|\bto\b|\buntil\b|\btill\b|\bfor\b).*\d|noon")
_OWN_DAY = rf"(?:{DAY_FORM})\b.*|.*\s(?:{DAY_FORM})"


def read_spans(text: str, now: datetime, zone: tzinfo) -> tuple[Span, ...]:
    """Read work already done: one stretch as `read_span` does, or several with commas, `;`,
    `&`, `+` or `and` between them, in their order.

    A stretch without a day is on that of the one before it; where the last alone names one,
    all are on it. An hour that may be before or after noon is the one after the stretch before
    it: ``8-12, 1-4``.

    Raises `BadInput`: as `read_span`, for the stretch that can't be read, and for two that overlap.
    """
    try:
        return (read_span(text, now, zone),)
    except Unread:
        parts = re.split(_BETWEEN, text.strip())
        if len(parts) < 2 or not all(map(_STRETCH.search, parts)):
            raise
    found: list[Span] = []
    dated = [re.fullmatch(_OWN_DAY, part.lower()) is not None for part in parts]
    day = now
    if dated[-1] and not any(dated[:-1]):
        day = _noon(_span(parts[-1], now, zone).start, zone)
    for part, own in zip(parts, dated, strict=True):
        if found and not own:
            day = _noon(found[-1].start, zone)
        span = _span(part, now if own else day, zone, found[-1] if found else None)
        check_past(span, part, now)
        if any(span.start < one.stop and one.start < span.stop for one in found):
            raise BadInput(
                "{text} shares time with a stretch before it; each is counted once.", text=part
            )
        found.append(span)
    return tuple(found)


def _span(text: str, now: datetime, zone: tzinfo, before: Span | None = None) -> Span:
    try:
        found = read_time(text, now, zone)
    except Ambiguous as refusal:
        if before is None:
            raise
        ways = [_span(each, now, zone) for each in refusal.readings]
        meant = [one for one in ways if one.start >= before.stop]
        if len(meant) != 1:
            raise
        return meant[0]
    if isinstance(found, Moment):
        raise no_stop(text)
    if not isinstance(found, Span):
        raise no_time(text)
    return found


def _noon(at: datetime, zone: tzinfo) -> datetime:
    return datetime.combine(at.date(), time(12), zone)

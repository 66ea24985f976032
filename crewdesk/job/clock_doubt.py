"""Whether the computer's clock can be right, by when the record was last changed."""

from collections.abc import Callable
from datetime import datetime, timedelta

from crewdesk.errors import ClockDoubt

SET_BACK = timedelta(minutes=2)
"""A clock may be this far behind the last change: two computers never agree to the second."""
FAR_AHEAD = timedelta(days=366)
"""A folder that nobody changed for longer is less likely than a clock that is set wrong."""


def doubtful(now: datetime, last: datetime | None) -> bool:
    """Return whether a clock that says `now` can't be believed after a change at `last`."""
    return last is not None and not last - SET_BACK <= now <= last + FAR_AHEAD


def doubt_text(now: datetime, last: datetime) -> str:
    """Return what is wrong with the clock, as the problem of a sentence, on its own zone."""
    return (
        f"this machine's clock says {now:%Y-%m-%d %H:%M}, but the last change was made at "
        f"{last.astimezone(now.tzinfo):%Y-%m-%d %H:%M}"
    )


def check_clock(
    now: datetime, last: datetime | None, latest: Callable[[], datetime | None]
) -> None:
    """Raise `ClockDoubt` where a command may not save at `now`.

    last: when what is to be changed was last changed. latest: gives when anything in the folder
    was; it is asked only where the clock seems far ahead, since a job may rest for years.
    """
    if not doubtful(now, last):
        return
    assert last is not None
    if now > last:
        last = max(last, latest() or last)
        if not doubtful(now, last):
            return
    raise ClockDoubt(
        f"Nothing was saved: {doubt_text(now, last)}. Set the clock, or add --now-is-right."
    )

"""Whether what is read comes into a record now, or is in one already.

A row that a record holds was taken by this crewdesk or an older one, so it is read as freely as
ever was. What comes in, by a change or an import, is held to more (see `crewdesk.job.sound`).
"""

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar

_COMES_IN: ContextVar[bool] = ContextVar("_COMES_IN", default=False)


@contextmanager
def coming_in() -> Iterator[None]:
    """Read inside as what comes in."""
    before = _COMES_IN.set(True)
    try:
        yield
    finally:
        _COMES_IN.reset(before)


def comes_in() -> bool:
    """Whether what is read now comes in."""
    return _COMES_IN.get()

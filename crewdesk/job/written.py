"""Rows of the record as they were written, maybe by hand: whatever is wrong is one sentence."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

from crewdesk.errors import BadInput, NotAllowed
from crewdesk.job.words import brief

if TYPE_CHECKING:
    from types import TracebackType


@contextmanager
def refusing_alone() -> Iterator[None]:
    """Raise what the trade refuses inside as `NotAllowed`, with its sentence and its places."""
    try:
        yield
    except BadInput as refusal:
        refused = NotAllowed(str(refusal))
        for place in getattr(refusal, "__notes__", ()):
            refused.add_note(place)
        raise refused from None


@contextmanager
def read_plainly(what: str, built: str, *also: type[Exception]) -> Iterator[None]:
    """Read a document inside; raises `NotAllowed` alone.

    `what` names it where it lacks something; `built` ends the sentence where it holds
    something of the wrong kind, and `also` are further errors that mean so.
    """
    wrong: tuple[type[Exception], ...] = (TypeError, AttributeError, *also)
    try:
        with refusing_alone():
            yield
    except KeyError as lacking:
        raise NotAllowed(f"{_inside(what, lacking)} has no {lacking.args[0]}.") from None
    except wrong as error:
        raise NotAllowed(f"{_inside(what, error)} is not built as {built}.") from None


class within:  # noqa: N801 - reads as a word of the `with` statement
    """Note the place in a row that is read inside on whatever is raised there: see `places_of`.
    `name`, as the row has it, is quoted behind the place."""

    __slots__ = ("name", "place")

    def __init__(self, place: str, name: object = None) -> None:
        self.place, self.name = place, name

    def __enter__(self) -> None:
        pass

    def __exit__(
        self,
        _kind: type[BaseException] | None,
        error: BaseException | None,
        _traceback: TracebackType | None,
    ) -> None:
        if error is not None:
            error.add_note(self.place if self.name is None else f"{self.place} {brief(self.name)}")


def places_of(error: BaseException) -> tuple[str, ...]:
    """Return the places in a row where an error was raised, the outermost first."""
    return tuple(reversed(getattr(error, "__notes__", ())))


def _inside(what: str, error: Exception) -> str:
    return ", ".join((what, *places_of(error)))

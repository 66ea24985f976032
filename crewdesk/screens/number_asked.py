"""What every number has that is asked for alone: its words, what follows from it, its saving."""

from dataclasses import dataclass, field
from typing import NamedTuple, Protocol

from crewdesk.job.heights import Heights


@dataclass
class Held:
    """What is typed about the whole beam and not in the record: the square's leg, and the
    heights of a ceiling that is not read whole."""

    leg: str = ""
    heights: Heights = field(default_factory=Heights)


class Seen(NamedTuple):
    """What stands beside a number: a hint, which may be that something is wrong; the mark
    for the board, in words and in figures; what else is marked, in lines."""

    hint: str = ""
    wrong: bool = False
    words: str = ""
    figures: str = ""
    lines: tuple[str, ...] = ()


class NumberAsked(Protocol):
    """One number as it is asked for."""

    ways: tuple[str, str]
    """The two answers to the question that a number may leave open, each a key."""

    @property
    def asks(self) -> str:
        """What is asked for, in one line."""

    @property
    def latest(self) -> str:
        """The number that counts now, as it is shown; "" where there is none."""

    def look(self, text: str, *, way_asked: bool = False) -> Seen:
        """What follows from what is typed; `way_asked`: while `question` is on the screen."""

    def question(self, text: str) -> str:
        """What must still be told of a number, by one of two keys; "" where it says all.
        Raises `NotAllowed` and `BadInput` where the text makes no sense."""

    def save(self, text: str, way: str) -> bool:
        """Save what was typed, and say so; False where it was not taken."""

    def doubt(self) -> str:
        """Why what was saved is hard to believe, or ""."""

    def open_whole(self) -> None:
        """Show the page with all that belongs to it."""


def unread_hint(text: str, standing: str, alone: str = "") -> str:
    """A hint beside an empty or a good number: what stands in the record, or that nothing does
    yet, with what Enter `alone` does then."""
    if text:
        return ""
    return (
        f"In the record: {standing}. Enter goes on."
        if standing
        else f"Not read yet. {alone}".strip()
    )

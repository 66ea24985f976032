"""A leaf of a job's books: one list of the money page, with what its keys do there."""

from abc import ABC, abstractmethod
from collections.abc import Sequence
from textwrap import wrap

from crewdesk.paper.plain import plain
from crewdesk.screens.actions import with_keys
from crewdesk.screens.lines import Row
from crewdesk.screens.program import Program
from crewdesk.store.books import JobBooks

ACTIONS = ("add", "change", "accept", "remove", "save", "takeoff")


class Leaf(ABC):
    """What the money page shows and does on one of its leaves.

    A subclass has a method for each of `ACTIONS` that makes sense on it; it is given the
    books as they are shown and the key of the line under the cursor.
    """

    NAME = ""

    def __init__(self, app: Program) -> None:
        self.app = app

    def keyed(self, text: str) -> str:
        """A text with the keys that the actions of the page in its braces have here."""
        return with_keys(text, "money", self.app.key)

    @abstractmethod
    def heads(self, books: JobBooks, width: int) -> str:
        """What stands over the columns."""

    @abstractmethod
    def rows(self, books: JobBooks, width: int) -> list[Row]:
        """The lines, as they go into that many columns."""

    @abstractmethod
    def about(self, books: JobBooks, key: str) -> str:
        """What is told of the line under the cursor, in three lines at most."""


def none_rows(sentence: str, width: int) -> list[Row]:
    """What stands where a leaf has no line yet; nothing to walk through."""
    return [Row(row.parts) for row in told_rows((sentence,), width)]


def told_rows(sentences: Sequence[str], width: int, ink: str = "muted") -> list[Row]:
    """Sentences, each on as many lines as it takes; the cursor walks through them."""
    return [
        Row(((f" {line}", ink),), f"told {sentence}{line}")
        for sentence in sentences
        for line in wrap(plain(sentence), max(width - 3, 20), subsequent_indent="  ")
    ]

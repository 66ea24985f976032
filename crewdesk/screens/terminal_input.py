"""What the terminal sends, read so that no byte of it can end the program.

Textual reads the keyboard as strict UTF-8 and takes every number in an escape sequence for a
character. A terminal set to Latin-1, a line with noise on it or a cat on the keyboard ends it.
"""

from collections.abc import Iterable

from textual import events
from textual._xterm_parser import XTermParser
from textual.message import Message

UNKNOWN = "\N{REPLACEMENT CHARACTER}"
"""Stands for every character that the terminal sent and nobody can read."""
LARGEST_TERMINAL = 2_000
"""Columns or rows; a resize report beyond it is noise, and drawing it would fill the memory."""


class ForgivingParser(XTermParser):
    """Textual's parser, which starts over after a sequence that it can't take."""

    def feed(self, data: str) -> Iterable[Message]:
        """Return the messages in the next characters; no text makes it raise an error."""
        if not data:  # the end of the input
            yield from super().feed(data)
            return
        for character in data:
            try:
                yield from map(_readable, filter(_believable, super().feed(character)))
            except (ArithmeticError, ValueError):
                self._start_over()
                yield events.Key("replacement_character", UNKNOWN)

    def tick(self) -> Iterable[Message]:
        """Return what a sequence that was begun and not ended turns out to be."""
        try:
            yield from map(_readable, filter(_believable, super().tick()))
        except (ArithmeticError, ValueError):
            self._start_over()

    def _start_over(self) -> None:
        self._tokens.clear()
        self._timeout_time = None
        self._gen = self.parse(self._tokens.append)
        self._awaiting = next(self._gen)


def _believable(message: Message) -> bool:
    """Return whether a message is one that a terminal can have meant."""
    if isinstance(message, events.Resize):
        return all(0 < side <= LARGEST_TERMINAL for side in message.size)
    return True


def _readable(message: Message) -> Message:
    """Return the message; for half of a UTF-16 pair, which no text can hold, an unknown key."""
    if isinstance(message, events.Key) and _is_half_a_pair(message.character or ""):
        return events.Key("replacement_character", UNKNOWN)
    return message


def _is_half_a_pair(text: str) -> bool:
    return any("\ud800" <= one <= "\udfff" for one in text)

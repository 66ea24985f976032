"""What a mark can't be refused for, but must be told with it."""

from typing import Any, NamedTuple

from crewdesk.length import DEFAULT_STEP, Step
from crewdesk.sentence import filled


class Caution(NamedTuple):
    """A warning beside marks that were made all the same; its text and facts are as an error's
    (`crewdesk.errors`)."""

    text: str
    facts: dict[str, Any]

    def __str__(self) -> str:
        return self.shown()

    def shown(self, step: Step = DEFAULT_STEP) -> str:
        """Return the text with its facts, lengths in millimeters where `step` is."""
        return filled(self.text, self.facts, step)


def caution(text: str, /, **facts: Any) -> Caution:
    """Return the caution of that text with the facts that it names."""
    return Caution(text, facts)

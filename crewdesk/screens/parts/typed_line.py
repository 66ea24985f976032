"""Inputs that show every character."""

from rich.text import Text
from textual.widgets import TextArea

from crewdesk.paper.plain import plain
from crewdesk.screens.parts.terminal import TypedLine


class TypedText(TextArea):
    """The same for multi-line text."""

    def get_line(self, line_index: int) -> Text:
        """Return a line as drawn; tabs stay, since the cursor counts them."""
        parts = self.document.get_line(line_index).split("\t")
        return Text("\t".join(map(plain, parts)), end="", no_wrap=True)


LEFT_TO_THE_PAGE = (
    "exclamation_mark",
    "question_mark",
    "number_sign",
    "asterisk",
    "ampersand",
    "tilde",
    "equals_sign",
    "less_than_sign",
    "greater_than_sign",
    "left_square_bracket",
    "right_square_bracket",
    "left_parenthesis",
    "at",
)


class LengthInput(TypedLine):
    """An input that leaves keys that no length contains to its page."""

    def check_consume_key(self, key: str, character: str | None) -> bool:
        """Return whether a key is typed here instead of used by the page."""
        return key not in LEFT_TO_THE_PAGE and super().check_consume_key(key, character)

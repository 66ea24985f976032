"""Where text is typed: every sign in it is seen."""

from rich.text import Text
from textual.widgets import TextArea

from crewdesk.paper.plain import plain
from crewdesk.screens.parts.terminal import TypedLine


class TypedText(TextArea):
    """The same for text of more lines than one."""

    def get_line(self, line_index: int) -> Text:
        """A line as it is drawn; tabs stay, which the cursor counts."""
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
    """An input that leaves to its page the keys that no length has in it."""

    def check_consume_key(self, key: str, character: str | None) -> bool:
        """Whether a key is typed here, and no key of the page."""
        return key not in LEFT_TO_THE_PAGE and super().check_consume_key(key, character)

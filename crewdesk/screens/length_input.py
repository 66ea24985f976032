"""Where a length is typed."""

from crewdesk.screens.typed_line import TypedLine

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
)


class LengthInput(TypedLine):
    """An input that leaves to its page the keys that no length has in it."""

    def check_consume_key(self, key: str, character: str | None) -> bool:
        """Whether a key is typed here, and no key of the page."""
        return key not in LEFT_TO_THE_PAGE and super().check_consume_key(key, character)

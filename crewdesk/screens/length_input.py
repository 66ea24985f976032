"""Where a length is typed."""

from crewdesk.screens.typed_line import TypedLine

LEFT_TO_THE_PAGE = ("exclamation_mark", "question_mark")


class LengthInput(TypedLine):
    """An input that leaves to its page the keys that no length has in it."""

    def check_consume_key(self, key: str, character: str | None) -> bool:
        """Whether a key is typed here, and no key of the page."""
        return key not in LEFT_TO_THE_PAGE and super().check_consume_key(key, character)

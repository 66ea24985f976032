"""Where a length is typed."""

from textual.widgets import Input

LEFT_TO_THE_PAGE = ("exclamation_mark",)


class LengthInput(Input):
    """An input that leaves to its page the keys that no length has in it."""

    def check_consume_key(self, key: str, character: str | None) -> bool:
        """Whether a key is typed here, and no key of the page."""
        return key not in LEFT_TO_THE_PAGE and super().check_consume_key(key, character)

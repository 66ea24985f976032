"""What a page, a sheet and the app have in common: keys out of the table of actions."""

from typing import Any, ClassVar

from textual.screen import ModalScreen

from crewdesk.screens.actions import AREAS, bindings, with_keys
from crewdesk.screens.keys_line import KeysLine


class NamedKeys:
    """A screen, widget or app with the actions of an area; bindings of its own come after."""

    AREA: ClassVar[str] = ""

    def __init_subclass__(cls, **kwargs: Any) -> None:
        if "AREA" in vars(cls):
            own = vars(cls).get("BINDINGS", ())
            cls.BINDINGS = [*bindings(cls.AREA), *own]  # type: ignore[attr-defined]
        super().__init_subclass__(**kwargs)

    def on_mount(self) -> None:
        """In the large layout a question has its keys below it, to be touched."""
        if isinstance(self, ModalScreen) and getattr(self.app, "large", False):
            self.mount(KeysLine())

    def with_keys(self, text: str) -> str:
        """A text with the keys that the actions in its braces have here."""
        app = getattr(self, "app")  # noqa: B009
        return with_keys(text, self.AREA, app.key)

    def to_do(self) -> str:
        """What help says to do here."""
        return self.with_keys(AREAS[self.AREA].to_do) if self.AREA else ""

"""What a page, a sheet and the app have in common: keys out of the table of actions."""

from typing import Any, ClassVar, cast

from textual.screen import ModalScreen

from crewdesk.screens.actions import AREAS, bindings, with_keys
from crewdesk.screens.keys_line import KeysLine
from crewdesk.screens.program import Program


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
        if isinstance(self, ModalScreen) and self.desk_app.large:
            self.mount(KeysLine())

    @property
    def desk_app(self) -> Program:
        """The program, as a page sees it."""
        return cast(Program, self.app)  # type: ignore[attr-defined]

    def action_open_page(self, page: str) -> None:
        self.desk_app.open(page)

    def show_cautions(self, stage: str) -> None:
        """Show the cautions of a stage of work over it."""
        self.desk_app.open("help", self, stage)

    def with_keys(self, text: str) -> str:
        """A text with the keys that the actions in its braces have here."""
        return with_keys(text, self.AREA, self.desk_app.key)

    def to_do(self) -> str:
        """What help says to do here."""
        return self.with_keys(AREAS[self.AREA].to_do) if self.AREA else ""

"""The details of a piece in words, over its page, behind a key."""

from textual.app import ComposeResult
from textual.containers import Vertical, VerticalScroll
from textual.content import Content
from textual.widgets import Label, Static

from crewdesk.paper.plain import plain
from crewdesk.screens.parts.sheet import Sheet


class DetailsSheet(Sheet[None]):
    """All marks of a piece with their places, accuracy, dry fit and cautions."""

    AREA = "details-of-a-piece"
    DEFAULT_CSS = """
    DetailsSheet .question { width: 96; height: auto; max-height: 92%; padding: 0 1; }
    DetailsSheet VerticalScroll { height: auto; max-height: 100%; scrollbar-size-vertical: 1; }
    DetailsSheet .about { margin: 0; }
    """

    def __init__(self, title: str, told: Content) -> None:
        super().__init__()
        self._title = title
        self._told = told

    def compose(self) -> ComposeResult:
        with Vertical(classes="question"):
            yield Label(plain(self._title), classes="title", markup=False)
            with VerticalScroll():
                yield Static(self._told, id="details", markup=False)
            yield Static(self.with_keys("{leave}: back."), classes="about keys", markup=False)

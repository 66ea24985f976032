"""Keys to be touched: what a length is made of, in and out, back and on."""

from textual.app import ComposeResult
from textual.containers import Grid
from textual.content import Content
from textual.message import Message
from textual.widgets import Button

BACK, ON, RUBBED, IN, OUT = "back", "on", "rubbed", "in", "out"
_SIGNS = {"foot": "'", "inch": '"', "stroke": "/", "gap": " ", "point": "."}
_KEYS = (
    *(("7", "7"), ("8", "8"), ("9", "9"), ("foot", "'")),
    *(("4", "4"), ("5", "5"), ("6", "6"), ("inch", '"')),
    *(("1", "1"), ("2", "2"), ("3", "3"), ("stroke", "/")),
    *(("gap", "space"), ("0", "0"), ("point", "."), (RUBBED, "erase")),
    *((BACK, "back"), (IN, "in"), (OUT, "out"), (ON, "next")),
)


class Keypad(Grid):
    """The keys; none of them takes the focus from where one types."""

    DEFAULT_CSS = """
    Keypad { grid-size: 4 5; grid-gutter: 0 1; width: 28; height: 15; padding: 0 0 0 1;
             background: $background; }
    Keypad Button { width: 100%; height: 3; min-width: 0; border: none; padding: 0;
                    border-bottom: hkey $background; content-align: center middle;
                    text-style: bold; background: $panel; color: $foreground; }
    Keypad Button:hover { background: $ready; color: $background; }
    Keypad #key-on { color: $accent; }
    """

    class Pressed(Message):
        """A key was touched: a sign to type, or one of those named here."""

        def __init__(self, key: str) -> None:
            super().__init__()
            self.key = key

    def compose(self) -> ComposeResult:
        for key, shown in _KEYS:
            button = Button(shown, id=f"key-{key}")
            button.can_focus = False
            button.styles.line_pad = 0
            yield button

    def name_ways(self, ways: tuple[str, str]) -> None:
        """Show what the keys for in and out stand for now."""
        for key, way in zip((IN, OUT), ways, strict=True):
            button = self.query_one(f"#key-{key}", Button)
            if str(button.label) != way:
                button.label = Content(way)

    def on_button_pressed(self, event: Button.Pressed) -> None:
        """Tell which key it was."""
        event.stop()
        key = (event.button.id or "").removeprefix("key-")
        self.post_message(self.Pressed(_SIGNS.get(key, key)))

"""The panel to type one number in large figures, with its result below, and keys to touch on a
small screen."""

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Grid, Horizontal, Vertical
from textual.content import Content
from textual.message import Message
from textual.widgets import Button, Label, Static

from crewdesk.paper.plain import plain
from crewdesk.screens.parts.figure import BigFigures
from crewdesk.screens.parts.typed_line import LengthInput
from crewdesk.screens.piece.numbers import Seen


class Typed(LengthInput):
    """The input of the number."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "submit", "Save, go on", id="one-number.save-go-on"),
        Binding("up,pageup", "screen.back_one", "Back one", id="one-number.back-one"),
        Binding("pagedown", "screen.next_beam", "Next beam", id="one-number.next-beam"),
    ]


class NumberPanel(Vertical):
    """The beam, the question, the number in large figures, a quiet line, and the mark in large
    figures; other marks only if there is much room."""

    DEFAULT_CSS = """
    NumberPanel { width: 1fr; }
    NumberPanel #asked { height: auto; max-height: 3; padding: 0 1; }
    NumberPanel #entry { height: 1; margin: 0 2 0 1; }
    NumberPanel #entry Label { width: 10; color: $muted; }
    NumberPanel #entry Label.set { color: $ready; text-style: bold; }
    NumberPanel Typed { height: 1; width: 1fr; background: $panel; }
    NumberPanel BigFigures { height: 3; margin: 0 2 0 1; color: $foreground; }
    NumberPanel #beam { height: 3; display: none; color: $secondary; }
    NumberPanel #mark { color: $ready; }
    NumberPanel #hint { height: auto; min-height: 1; max-height: 3; padding: 0 1; color: $muted; }
    NumberPanel #hint.wrong { color: $error; text-style: bold; }
    NumberPanel #words { height: auto; min-height: 1; max-height: 3; padding: 0 1; }
    NumberPanel #marks { height: 1fr; padding: 0 1; color: $muted; }
    """

    def __init__(self) -> None:
        super().__init__()
        self._shown: dict[str, Content] = {}

    def compose(self) -> ComposeResult:
        yield BigFigures(id="beam")
        yield Static(id="asked", markup=False)
        with Horizontal(id="entry"):
            yield Label("reading", markup=False)
            yield Typed(compact=True)
        yield BigFigures(id="number")
        yield Static(id="hint", markup=False)
        yield Static(id="words", markup=False)
        yield BigFigures(id="mark")
        yield Static(id="marks", markup=False)

    def tell(self, beam: str, asks: str, place: str, number: str, seen: Seen) -> None:
        """Show the beam, what is asked, how far one is, the number and what follows from it: the
        mark and its cautions. If there is no number yet, the entry is what is bright."""
        self.query_one("#entry Label").set_class(not number, "set")
        self.query_one("#hint", Static).set_class(seen.wrong, "wrong")
        self.query_one("#beam", BigFigures).show(plain(beam))
        self.query_one("#number", BigFigures).show(number)
        self.query_one("#mark", BigFigures).show(seen.figures)
        self._put("#asked", Content.styled(plain(asks), "bold"))
        hint = seen.hint if seen.wrong else "   ".join(filter(None, (place, seen.hint)))
        self._put("#hint", Content(plain(hint)))
        text = plain(seen.words)
        bright = Content.styled(f"□ {text}", "$ready bold") if seen.figures else Content(text)
        self._put("#words", bright)
        lines = [line for line in seen.lines if line.startswith("!")]
        self._put("#marks", Content("\n".join(map(plain, lines))))

    def show_entry(self, *, shown: bool) -> None:
        """Show or hide where one types."""
        self.query_one(Typed).display = self.query_one("#entry").display = shown

    def _put(self, id_: str, told: Content) -> None:
        """Show a text if it changed, since layout takes time."""
        if not told.is_same(self._shown.get(id_, Content(""))):
            self._shown[id_] = told
            self.query_one(id_, Static).update(told)


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
    """The keys; they never take the input's focus."""

    DEFAULT_CSS = """
    Keypad { grid-size: 4 5; grid-gutter: 0 1; width: 28; height: 15; padding: 0 0 0 1;
             background: $background; }
    Keypad Button { width: 100%; height: 3; min-width: 0; border: none; padding: 0;
                    border-bottom: hkey $background; content-align: center middle;
                    text-style: bold; background: $panel; color: $foreground; }
    Keypad Button:hover { background: $cursor; }
    Keypad #key-on { color: $accent; }
    """

    class Pressed(Message):
        """A key was touched: a character to type, or a key named here."""

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
        """Show the current words of the keys for in and out."""
        for key, way in zip((IN, OUT), ways, strict=True):
            button = self.query_one(f"#key-{key}", Button)
            if str(button.label) != way:
                button.label = Content(way)

    def on_button_pressed(self, event: Button.Pressed) -> None:
        """Report which key was touched."""
        event.stop()
        key = (event.button.id or "").removeprefix("key-")
        self.post_message(self.Pressed(_SIGNS.get(key, key)))

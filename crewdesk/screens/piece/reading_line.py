"""A line of the piece's screen: a typed reading beside the saved one; at an end the wall's lean,
which is selected and never typed, since `in` means inches too."""

from collections.abc import Iterable
from typing import ClassVar

from rich.text import Text
from textual import on
from textual.binding import Binding, BindingType
from textual.containers import Horizontal
from textual.events import Click, Key
from textual.message import Message
from textual.reactive import reactive
from textual.widget import Widget
from textual.widgets import Input, Label, Static

from crewdesk.errors import NotAllowed
from crewdesk.job.beams.readings import ENDS, Reading
from crewdesk.paper.plain import plain
from crewdesk.screens.parts.keys_line import NamedKeys
from crewdesk.screens.parts.program import program
from crewdesk.screens.parts.typed_line import LengthInput
from crewdesk.screens.piece.numbers import WAYS, BoardNumber


class LeanSwitch(NamedKeys, Widget, can_focus=True):
    """In, out or, until selected, neither. No character of a length changes it: a user who thinks
    he is in the next line types `221 5/8`, with a space, and sees nothing."""

    DEFAULT_CSS = """
    LeanSwitch { width: 11; height: 1; background: $panel; }
    LeanSwitch:focus { background: $entry; text-style: bold; }
    """
    AREA = "lean-of-a-wall"
    lean = reactive("")

    class Chosen(Message):
        """The user turned the switch."""

    class Entered(Message):
        """The user finished the line."""

    class Strayed(Message):
        """A number was typed if none goes."""

    def on_key(self, event: Key) -> None:
        """Report a number that is typed here."""
        if event.character is not None and event.character.isdecimal():
            self.post_message(self.Strayed())

    def render(self) -> Text:
        """Return both directions, the selected one in brackets."""
        if self.lean == "in":
            return Text(" [in]  out ")
        return Text("  in  [out]" if self.lean else "  in / out?")

    def action_turn(self) -> None:
        self.action_choose("out" if self.lean == "in" else "in")

    def action_choose(self, lean: str) -> None:
        self.lean = lean
        self.post_message(self.Chosen())

    def action_enter(self) -> None:
        self.post_message(self.Entered())

    @on(Click)
    def clicked(self, event: Click) -> None:
        """Select the clicked word."""
        self.action_choose(WAYS[0] if event.x < 6 else WAYS[1])


class Field(LengthInput):
    """The input of a length; `what` is the measured quantity. It leaves scroll keys to the screen,
    since it never scrolls."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("pagedown", "screen.other(1)", "Next", id="piece.next"),
        Binding("pageup", "screen.other(-1)", "Previous", show=False, id="piece.previous"),
        Binding("up", "screen.line(-1)", show=False),
        Binding("down", "screen.line(1)", show=False),
    ]

    def __init__(self, what: str, value: str = "") -> None:
        super().__init__(value, id=f"type-{what}", compact=True)


class ReadingLine(Horizontal):
    """The line of one reading; `what` is its name in the record. What is saved stands in its field
    until something is typed there."""

    DEFAULT_CSS = """
    ReadingLine { height: 1; }
    ReadingLine > Label { width: 23; padding: 0 1; text-wrap: nowrap; text-overflow: ellipsis; }
    ReadingLine > Input { width: 14; background: $panel; }
    ReadingLine > Input:focus { background: $entry; }
    ReadingLine > LeanSwitch { margin: 0 0 0 1; }
    ReadingLine > Input > .input--placeholder { color: $foreground; }
    ReadingLine > .record { width: 1fr; padding: 0 1; color: $muted; text-wrap: nowrap;
                            text-overflow: ellipsis; }
    .narrow ReadingLine > Label { width: 21; }
    .narrow ReadingLine > Input { width: 10; }
    """

    class Typed(Message):
        """Something in the line was changed."""

    class Entered(Message):
        """The user finished the line."""

        def __init__(self, line: "ReadingLine") -> None:
            super().__init__()
            self.line = line

    def __init__(self, what: str) -> None:
        super().__init__(id=f"read-{what}")
        self.what = what
        self.number: BoardNumber | None = None
        self.latest: Reading | None = None

    def compose(self) -> Iterable[Widget]:
        yield Label(markup=False)
        yield Field(self.what)
        if self.at_end:
            yield LeanSwitch(id=f"lean-{self.what}")
        yield Static(classes="record", markup=False)

    @property
    def at_end(self) -> bool:
        """Whether it is measured at a wall."""
        return self.what in ENDS

    @property
    def field(self) -> Input:
        """The input of the length."""
        return self.query_one(Input)

    @property
    def switch(self) -> LeanSwitch:
        """The switch of the lean."""
        return self.query_one(LeanSwitch)

    @property
    def pending(self) -> bool:
        """Whether it has an unsaved value."""
        if self.field.value.strip():
            return True
        return self.at_end and self.latest is not None and self.switch.lean != self.latest.lean

    def show(self, number: BoardNumber) -> None:
        """Show another number, or the saved value."""
        self.number, latest = number, number.reading_kept
        if self.latest != latest:
            self.latest = latest
            if self.at_end and not self.field.value.strip():
                self.switch.lean = latest.lean if latest else ""
        self.query_one(Label).update(plain(number.label), layout=False)
        self.field.placeholder = plain(number.latest)
        self.show_saved(brief=self.has_class("brief"))

    def show_saved(self, *, brief: bool) -> None:
        """Show when it was read, and if there is room over which level."""
        self.set_class(brief, "brief")
        if self.number is not None:
            text = plain(self.number.saved(brief=brief))
            self.query_one(".record", Static).update(text, layout=False)

    def clear(self) -> None:
        """Forget what is typed."""
        self.field.value = ""
        if self.at_end:
            self.switch.lean = self.latest.lean if self.latest else ""

    def reading(self, level: str) -> Reading:
        """Return the typed reading, over a level of that length; raises `BadInput`, `NotAllowed` or
        `LeanUnknown`."""
        assert self.number is not None
        lean = self.switch.lean if self.at_end else ""
        text = self.field.value
        if lean == "out" and text.lower().rstrip(" .").endswith("in"):
            ways = self.switch.with_keys("{in} or {out}")
            raise NotAllowed(
                f"{text.strip()} can mean inches or a wall in at the top, and the switch says out. "
                f"Leave the word off and press {ways} on the switch beside the gap."
            )
        return self.number.reading(text, lean, level)

    @on(Input.Changed)
    @on(LeanSwitch.Chosen)
    def changed(self, event: Message) -> None:
        """Report that something was typed."""
        event.stop()
        self.post_message(self.Typed())

    @on(LeanSwitch.Strayed)
    def strayed(self, event: LeanSwitch.Strayed) -> None:
        """Report that a number doesn't belong there."""
        event.stop()
        wall = self.number.wall if self.number else ""
        text = f"For {wall} press i or o, for in or out. Enter saves it and goes on."
        program(self).tell(text, "wrong")

    @on(Input.Submitted)
    @on(LeanSwitch.Entered)
    def entered(self, event: Message) -> None:
        """Report that the user finished the line."""
        event.stop()
        self.post_message(self.Entered(self))

"""Which way the top of a wall leans, chosen and never typed: `in` means inches too."""

from rich.text import Text
from textual import on
from textual.events import Click, Key
from textual.message import Message
from textual.reactive import reactive
from textual.widget import Widget

from crewdesk.screens.named_keys import NamedKeys

WAYS = ("in", "out")


class LeanSwitch(NamedKeys, Widget, can_focus=True):
    """In, out or, until it is chosen, neither. No sign of a length turns it: somebody who
    believes to be in the next line types `221 5/8`, with a space, and sees nothing."""

    DEFAULT_CSS = """
    LeanSwitch { width: 11; height: 1; background: $panel; }
    LeanSwitch:focus { background: $entry; text-style: bold; }
    """
    AREA = "lean-of-a-wall"
    lean = reactive("")

    class Chosen(Message):
        """The user turned the switch."""

    class Entered(Message):
        """The user is done with the line."""

    class Strayed(Message):
        """A number was typed where none goes."""

    def on_key(self, event: Key) -> None:
        """Tell of a number that is typed here."""
        if event.character is not None and event.character.isdecimal():
            self.post_message(self.Strayed())

    def render(self) -> Text:
        """Both ways, the chosen one in brackets."""
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
        """A click on a word takes it."""
        self.action_choose(WAYS[0] if event.x < 6 else WAYS[1])

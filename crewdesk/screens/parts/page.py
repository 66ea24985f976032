"""What every screen has: a line that says where one is and what the clock does, and a
line that says what was saved, with how to take it back."""

from collections.abc import Iterable
from datetime import datetime, timedelta
from typing import Any, ClassVar

from rich.text import Text
from textual import on
from textual.app import App, ComposeResult
from textual.containers import Horizontal
from textual.content import Content
from textual.events import Click, Mount
from textual.message import Message
from textual.screen import Screen
from textual.widget import Widget
from textual.widgets import Static

from crewdesk.job.beams.piece import Spot
from crewdesk.job.time.clock import running
from crewdesk.paper.plain import plain
from crewdesk.screens.parts.actions import key_words
from crewdesk.screens.parts.keys_line import KeysLine, NamedKeys
from crewdesk.screens.parts.program import ChangedRows, Program, program


class ClockSign(Static):
    """What the clock does, told in words; a click on it opens the clock."""

    DEFAULT_CSS = """
    ClockSign { width: auto; padding: 0 1; color: $muted; }
    ClockSign.running { color: $part; text-style: bold; }
    """

    class Pressed(Message):
        """The sign was clicked."""

    _line = ""

    def on_mount(self) -> None:
        """Look at the clock now and each second from now on."""
        self.look()
        self.set_interval(1, self.look)

    def look(self) -> None:
        """Show the clock as it stands."""
        app = program(self)
        told = app.clock_told()
        stopped = f"clock stopped · {key_words(app.key('everywhere.clock'))}"
        if (line := f"▶ {told}" if told else stopped) != self._line:
            self._line = line
            self.set_class(bool(told), "running")
            self.update(Text(line))

    @on(Click)
    def pressed(self) -> None:
        """Ask for the clock."""
        self.post_message(self.Pressed())


class TopLine(Horizontal):
    """Where one is, at the left; the clock, at the right."""

    DEFAULT_CSS = """
    TopLine { dock: top; height: 1; background: $panel; }
    TopLine > #where { width: 1fr; padding: 0 1; text-style: bold; text-overflow: ellipsis; }
    TopLine > #sign { width: auto; padding: 0 1; color: $error; text-style: bold reverse;
                      display: none; }
    """

    def __init__(self, where: str) -> None:
        super().__init__()
        self._where = where

    def compose(self) -> ComposeResult:
        yield Static(Text(plain(self._where), no_wrap=True), id="where")
        yield Static(id="sign", markup=False)
        yield ClockSign()

    def look_at_sign(self) -> None:
        """Show whether something waits to be saved or chosen."""
        sign, told = self.query_one("#sign", Static), program(self).waits()
        sign.display = bool(told)
        sign.update(told)

    def tell(self, where: str) -> None:
        """Say where one is."""
        self.query_one("#where", Static).update(Text(plain(where), no_wrap=True))


class Told(Static):
    """The last thing that was said: what was saved, or why something was not."""

    DEFAULT_CSS = """
    Told { height: auto; min-height: 1; max-height: 3; padding: 0 1;
           background: $panel; color: $muted; }
    Told.saved { color: $success; }
    Told.wrong { color: $error; text-style: bold; max-height: 6; }
    """


class Page(NamedKeys, Screen[None]):
    """A screen of crewdesk; `body` is what it shows between its two lines."""

    WHERE = "crewdesk"
    """What the top line says, with the job's name for ``{job}``."""
    OF_SHOP: ClassVar[bool] = False
    """Whether it is about the shop and not about the open job."""
    SHOWS_BOOKS = False
    """Whether it shows documents, and so is shown again where another machine's came in."""
    LISTS_JOBS = False
    """Whether it lists the jobs."""
    SCROLLED = ""
    """The id of what the scroll key moves, where a page has one."""
    _said = ("", "")
    _said_over = ""
    """What would have been taken back when that was said."""

    @property
    def hides_more(self) -> bool:
        """Whether more stands in what the scroll key moves than there is room for."""
        return bool(self.SCROLLED) and self.query_one(self.SCROLLED).show_vertical_scrollbar

    @on(Mount)
    def _name_scroll_key(self) -> None:
        """Name the scroll key in the lowest line while something is hidden."""
        if self.SCROLLED:
            scrolled, keys = self.query_one(self.SCROLLED), self.query_one(KeysLine)
            self.watch(scrolled, "show_vertical_scrollbar", lambda: keys.look(self))

    @property
    def where(self) -> str:
        """What the top line says."""
        if "{job}" not in self.WHERE:
            return self.WHERE
        return self.WHERE.replace("{job}", self.program.record.job.name)

    def compose(self) -> ComposeResult:
        yield TopLine(self.where)
        yield from self.body()
        yield Told(markup=False)
        yield KeysLine()

    def body(self) -> Iterable[Widget]:
        """The widgets between the lines."""
        return ()

    def tell(self, text: str, kind: str = "") -> None:
        """Say something in the lowest line; `kind` is "", "saved" or "wrong". What can be
        taken back stands behind it, in words."""
        self._said = text, kind
        self._said_over = self._taken_back
        for told in self.query(Told):  # a page that is only now being built tells it then
            told.set_classes([kind] if kind else [])
            told.update(Content.assemble(plain(text), (self._undo_told(text), "$muted not bold")))

    @property
    def says_something(self) -> bool:
        """Whether something stands in its lowest line."""
        return bool(self._said[0])

    @property
    def _taken_back(self) -> str:
        return self.program.taken_back(of_shop=self.OF_SHOP)

    def _undo_told(self, text: str) -> str:
        what, cuts = self._taken_back, self.program.cuts_told
        if not what or (cuts and cuts in text):
            return ""  # a question about a cut has the line to itself
        key = key_words(self.program.key("everywhere.undo"))
        gap = "  " if text else ""
        return f"{gap}Undo: {key}" if what in text else plain(f"{gap}{key} undoes: {what}")

    @property
    def stage_here(self) -> str:
        """The id of the stage under its cursor, or ""."""
        return ""

    def go_to(self, spot: Spot) -> None:
        """Put its cursor on a piece, where it has one on pieces."""

    def look_at_sign(self) -> None:
        """Show in the top line whether something waits to be saved or chosen."""
        self.query_one(TopLine).look_at_sign()

    def lets_go(self) -> bool:
        """Whether nothing was entered here that is not saved, or one was told so already; what
        is only typed goes without a word when the program is left."""
        return True

    def record_changed(self, rows: ChangedRows) -> None:
        """Show the record as it is after a change of some of its rows; no rows: look at all."""

    def on_screen_resume(self) -> None:
        """Show what may have changed while another screen was in front; what was said before
        such a change may be true no more."""
        self.query_one(TopLine).tell(self.where)
        self.query_one(ClockSign).look()
        self.look_at_sign()
        self.record_changed(frozenset())
        self.tell(*(self._said if self._said_over == self._taken_back else ("", "")))

    def action_leave(self) -> None:
        self.app.pop_screen()

    @on(ClockSign.Pressed)
    async def clock_pressed(self) -> None:
        """Open the clock."""
        await self.app.run_action("clock")


def clock_words(app: Program, now: datetime) -> str:
    """What the open job's clock does, or nothing where it stands."""
    if app.job is None:
        return ""
    record = app.job.record
    entry = running(record)
    return f"{record.stages.name_of(entry.stage)} {lasted(entry.lasted(now))}" if entry else ""


def front(app: Program | App[Any]) -> Page | None:
    """Return the page in front, under any question."""
    return next((one for one in reversed(app.screen_stack) if isinstance(one, Page)), None)


def lasted(time: timedelta) -> str:
    """A stretch of time as hours, minutes and seconds, the second cut off: ``1:04:09``; none
    has passed where the computer's clock was set back."""
    seconds = max(int(time.total_seconds()), 0)
    return f"{seconds // 3600}:{seconds // 60 % 60:02d}:{seconds % 60:02d}"


def stage_here(app: Program) -> str:
    """Return the id of the stage under the run sheet's cursor; "" where it isn't open."""
    pages = [one for one in app.screen_stack if isinstance(one, Page) and one.is_mounted]
    return next(filter(None, (page.stage_here for page in reversed(pages))), "")

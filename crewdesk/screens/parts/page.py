"""Every screen's top line, with the place and the clock, and lowest line, with what was saved and
how to undo it."""

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
    """The clock's state in words; a click opens the clock."""

    DEFAULT_CSS = """
    ClockSign { width: auto; padding: 0 1; color: $muted; }
    ClockSign.running { color: $part; text-style: bold; }
    """

    class Pressed(Message):
        """The sign was clicked."""

    _line = ""

    def on_mount(self) -> None:
        """Update the clock now and each second."""
        self.look()
        self.set_interval(1, self.look)

    def look(self) -> None:
        """Show the clock's state."""
        app = program(self)
        text = app.clock_told()
        stopped = f"clock stopped · {key_words(app.key('everywhere.clock'))}"
        if (line := f"▶ {text}" if text else stopped) != self._line:
            self._line = line
            self.set_class(bool(text), "running")
            self.update(Text(line))

    @on(Click)
    def pressed(self) -> None:
        """Ask for the clock."""
        self.post_message(self.Pressed())


class TopLine(Horizontal):
    """The page's place at the left; the clock at the right."""

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
        """Show whether something is pending."""
        sign, text = self.query_one("#sign", Static), program(self).waits()
        sign.display = bool(text)
        sign.update(text)

    def tell(self, where: str) -> None:
        """Show the place."""
        self.query_one("#where", Static).update(Text(plain(where), no_wrap=True))


class Told(Static):
    """The last message: what was saved, or why something wasn't."""

    DEFAULT_CSS = """
    Told { height: auto; min-height: 1; max-height: 3; padding: 0 1;
           background: $panel; color: $muted; }
    Told.saved { color: $success; }
    Told.wrong { color: $error; text-style: bold; max-height: 6; }
    """


class Page(NamedKeys, Screen[None]):
    """A screen of crewdesk; `body` is what it shows between its two lines."""

    WHERE = "crewdesk"
    """The top line, with the job's name for ``{job}``."""
    OF_SHOP: ClassVar[bool] = False
    """Whether it is about the business and not the open job."""
    SHOWS_BOOKS = False
    """Whether it shows documents, and so is refreshed when another machine's come in."""
    LISTS_JOBS = False
    """Whether it lists the jobs."""
    SCROLLED = ""
    """The id of the widget that the scroll key moves, if any."""
    _said = ("", "")
    _said_over = ""
    """What undo would have undone at the time of the message."""

    @property
    def hides_more(self) -> bool:
        """Return whether the scrolled widget has more than fits."""
        return bool(self.SCROLLED) and self.query_one(self.SCROLLED).show_vertical_scrollbar

    @on(Mount)
    def _name_scroll_key(self) -> None:
        """Show the scroll key in the footer while something is hidden."""
        if self.SCROLLED:
            scrolled, keys = self.query_one(self.SCROLLED), self.query_one(KeysLine)
            self.watch(scrolled, "show_vertical_scrollbar", lambda: keys.look(self))

    @property
    def where(self) -> str:
        """The top line's text."""
        if "{job}" not in self.WHERE:
            return self.WHERE
        return self.WHERE.replace("{job}", self.program.record.job.name)

    def compose(self) -> ComposeResult:
        yield TopLine(self.where)
        yield from self.body()
        yield Told(markup=False)
        yield KeysLine()

    def body(self) -> Iterable[Widget]:
        """Return the widgets between the lines."""
        return ()

    def tell(self, text: str, kind: str = "") -> None:
        """Show a message in the lowest line; `kind` is "", "saved" or "wrong". What can be undone
        follows it, in words."""
        self._said = text, kind
        self._said_over = self._taken_back
        for line in self.query(Told):  # a page under construction shows it when it is ready
            line.set_classes([kind] if kind else [])
            line.update(Content.assemble(plain(text), (self._undo_told(text), "$muted not bold")))

    @property
    def says_something(self) -> bool:
        """Return whether its lowest line has a message."""
        return bool(self._said[0])

    @property
    def _taken_back(self) -> str:
        return self.program.taken_back(of_shop=self.OF_SHOP)

    def _undo_told(self, text: str) -> str:
        what, cuts = self._taken_back, self.program.cuts_told
        if not what or (cuts and cuts in text):
            return ""  # a question about a cut uses the whole line
        key = key_words(self.program.key("everywhere.undo"))
        gap = "  " if text else ""
        return f"{gap}Undo: {key}" if what in text else plain(f"{gap}{key} undoes: {what}")

    @property
    def stage_here(self) -> str:
        """The id of the stage under its cursor, or ""."""
        return ""

    def go_to(self, spot: Spot) -> None:
        """Put its cursor on a piece, if it has one on pieces."""

    def look_at_sign(self) -> None:
        """Show in the top line whether something is waiting to be saved or chosen."""
        self.query_one(TopLine).look_at_sign()

    def lets_go(self) -> bool:
        """Return whether the page may close: nothing entered is unsaved, or the user was warned.
        Text that is only typed is dropped silently when the program is quit."""
        return True

    def record_changed(self, rows: ChangedRows) -> None:
        """Show the record after a change of some of its rows; no rows: refresh everything."""

    def on_screen_resume(self) -> None:
        """Show what changed while another screen was in front; older messages may no longer be
        true."""
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
    """Return the state of the open job's clock, or "" if it is stopped."""
    if app.job is None:
        return ""
    record = app.job.record
    entry = running(record)
    return f"{record.stages.name_of(entry.stage)} {lasted(entry.lasted(now))}" if entry else ""


def front(app: Program | App[Any]) -> Page | None:
    """Return the page in front, under any question."""
    return next((one for one in reversed(app.screen_stack) if isinstance(one, Page)), None)


def lasted(time: timedelta) -> str:
    """Return a stretch of time as hours, minutes and seconds: ``1:04:09``; zero if the computer's
    clock was set back."""
    seconds = max(int(time.total_seconds()), 0)
    return f"{seconds // 3600}:{seconds // 60 % 60:02d}:{seconds % 60:02d}"


def stage_here(app: Program) -> str:
    """Return the id of the stage under the run sheet's cursor; or "" if it isn't open."""
    pages = [one for one in app.screen_stack if isinstance(one, Page) and one.is_mounted]
    return next(filter(None, (page.stage_here for page in reversed(pages))), "")

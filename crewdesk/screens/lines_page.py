"""A page of lines to walk through, with what is told of the one under the cursor."""

from abc import abstractmethod
from collections.abc import Iterable, Sequence

from rich.text import Text
from textual import on
from textual.events import Resize
from textual.widget import Widget
from textual.widgets import Static

from crewdesk.screens.lines import Lines, Row
from crewdesk.screens.page import Page


class LinesPage(Page):
    """A subclass gives the `rows`, as they go into the page's width, and what is `about` one."""

    DEFAULT_CSS = """
    LinesPage #heads { height: 1; color: $primary; text-style: bold; }
    LinesPage #here { height: 2; padding: 0 1; background: $surface; }
    """

    def body(self) -> Iterable[Widget]:
        yield from self.above()
        yield Lines()
        yield Static(id="here", markup=False)

    def above(self) -> Iterable[Widget]:
        """The widgets over the lines."""
        return ()

    @abstractmethod
    def rows(self) -> Sequence[Row]:
        """The lines."""

    def about(self, key: str) -> str | Text:
        """What is told of the line of that key, already harmless."""
        return ""

    @property
    def key(self) -> str:
        """The key of the line under the cursor, or ""."""
        return self.query_one(Lines).key

    def on_mount(self) -> None:
        """Begin on the first line."""
        self.query_one(Lines).focus()

    @on(Resize)
    def resized(self) -> None:
        """Fit the lines to the new width."""
        self.call_after_refresh(self.show)

    def record_changed(self, rows: frozenset[tuple[str, str]]) -> None:
        """Show the lines as they are, the cursor on one that was added."""
        lines = self.query_one(Lines)
        before = {row.key for row in lines.rows}
        self.show()
        changed = {row for _, row in rows} - before
        for added in [row.key for row in lines.rows if row.key in changed][:1]:
            lines.go_to(added)

    def show(self) -> None:
        """Show the lines, the cursor on the same one where it is still there."""
        self.query_one(Lines).show(self.rows())
        self.tell_here()

    @on(Lines.Moved)
    def tell_here(self) -> None:
        """Tell of the line under the cursor."""
        about = self.about(self.key)
        told = Text(about, overflow="ellipsis", no_wrap=True) if isinstance(about, str) else about
        self.query_one("#here", Static).update(told, layout=False)

    def action_leave(self) -> None:
        """Back to where one came from."""
        self.app.pop_screen()

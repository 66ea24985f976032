"""A line on the run sheet with the next action for a first-time user to try."""

from collections.abc import Callable

from textual.content import Content
from textual.widgets import Static

from crewdesk.screens.parts.coach import ACTS, CHECK_OFF, LOOK, OPEN, Coaching
from crewdesk.screens.parts.lines import SIGNS
from crewdesk.screens.parts.stick import MADE

_WORDS = {
    LOOK: f"{SIGNS['ready']} is ready to do now, {MADE} is done. Move with the arrow keys.",
    CHECK_OFF: "{tick} checks off the step named above. {everywhere.undo} takes it back.",
    OPEN: "{piece} opens a piece: type its readings, and it shows where to cut.",
}
"""The text of each action, its keys in braces."""


class CoachLine(Static):
    """The line; it takes no space when nothing is left."""

    DEFAULT_CSS = """
    CoachLine { height: 1; padding: 0 1; background: $panel; color: $foreground;
                text-wrap: nowrap; text-overflow: ellipsis; display: none; }
    """

    def show(self, coaching: Coaching, with_keys: Callable[[str], str]) -> None:
        """Show the first action that is left; `with_keys` puts the page's keys into a text."""
        self.display = bool(coaching.left)
        if coaching.left:
            act = coaching.left[0]
            step = f"{ACTS.index(act) + 1} of {len(ACTS)}  "
            self.update(Content.assemble((step, "$key bold"), with_keys(_WORDS[act])))

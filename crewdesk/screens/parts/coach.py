"""The first minute: actions for a first-time user to try.

There are three. Each disappears once done, in any order. They are kept for the session only: at the
next start the user knows them.
"""

from typing import NamedTuple

LOOK, CHECK_OFF, OPEN = ACTS = ("look", "check off", "open")


class Coaching(NamedTuple):
    """The actions that are left; empty: show nothing."""

    left: tuple[str, ...] = ()

    def after(self, act: str) -> "Coaching":
        """Return what is left after an action."""
        return Coaching(tuple(one for one in self.left if one != act))


FIRST = Coaching(ACTS)
"""The actions of a first-time user."""

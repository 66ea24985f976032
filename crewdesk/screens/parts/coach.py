"""The first minute: what a first-time user may try, until it was tried.

There are three acts. Each goes once it was done, in any order. They are kept for the session
alone: whoever starts again knows them.
"""

from typing import NamedTuple

LOOK, CHECK_OFF, OPEN = ACTS = ("look", "check off", "open")


class Coaching(NamedTuple):
    """The acts that are left; none: nothing is said."""

    left: tuple[str, ...] = ()

    def after(self, act: str) -> "Coaching":
        """Return what is left once an act was done."""
        return Coaching(tuple(one for one in self.left if one != act))


FIRST = Coaching(ACTS)
"""Of a first-time user."""

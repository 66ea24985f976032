"""One thing measured on the hung beam, beside what is allowed."""

from collections.abc import Callable
from typing import NamedTuple

from tests.dry_fit.shown import MM

STEP_SIZES = {"1/16": 1 / 16, "1/32": 1 / 32, "1/64": 1 / 64, "mm": float(MM)}
"""What lengths are shown to, in inches."""
ANGLES = 0.0035
"""What angles rounded to a hundredth of a degree can put a board off by, in inches."""


LENGTHWISE = (
    ("bottom_length", "end1", "end2", "relief1", "relief2"),
    ("edge_a", "cut1", "cut2", "cuts"),
)
"""The marks that say how long a side is, and how long a bottom or a top."""


class Measure(NamedTuple):
    """What was measured on which board, its value and the most that is allowed, in inches."""

    what: str
    board: str
    value: float
    allowed: float

    @property
    def beyond(self) -> float:
        """How far beyond what is allowed; not above 0 where it fits."""
        return self.value - self.allowed


class Allowed(NamedTuple):
    """What may be off: one shown `step`, and, by piece and mark, what crewdesk says a mark is
    within, where the readings themselves are off; nothing where they are exact."""

    step: float
    within: Callable[..., float] = lambda piece, *marks: 0.0
    exact: bool = True

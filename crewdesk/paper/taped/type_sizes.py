"""Sizes of paper and of type, in points of 1/72 in.

A page that is taped to a saw is read at arm's length, taken here for 700 mm (common
practice, no source). Letters should then be at least 16 minutes of arc high, 20 to 22 are
preferred (ISO 9241-3; NUREG-0700 rev. 2, 1.3.1-4, which gives height = 6.283 x distance x
minutes / 21600). A capital of the page's font is 0.718 of its size (Helvetica), so that is
13 pt and 16 pt: words are 13 pt, marks 17 pt.
"""

from dataclasses import dataclass

INCH = 72.0
MM = INCH / 25.4


@dataclass(frozen=True)
class PaperSize:
    """A sheet of paper, upright; `name` as the user chooses it."""

    name: str
    width: float
    height: float


PAPERS = {
    size.name: size
    for size in (
        PaperSize("letter", 8.5 * INCH, 11 * INCH),
        PaperSize("A4", 210 * MM, 297 * MM),
    )
}
"""Letter is size A of ANSI/ASME Y14.1, A4 is of ISO 216."""


@dataclass(frozen=True)
class TypeSizes:
    """`mark` for what is put on a board or set on a machine, `head` over it, `word` for all
    that is read beside it, `small` for what only the writer of the page needs."""

    head: float = 20
    mark: float = 17
    word: float = 13
    small: float = 10

    def times(self, factor: float) -> "TypeSizes":
        """All but the small print that much smaller."""
        return TypeSizes(self.head * factor, self.mark * factor, self.word * factor, self.small)


TYPE = TypeSizes()
LEAD = 1.28
"""From line to line, in sizes of the type."""

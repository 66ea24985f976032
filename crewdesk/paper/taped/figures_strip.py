"""Figures side by side on a page."""

from collections.abc import Sized

from crewdesk.paper.taped.pages import Pages, Strip
from crewdesk.paper.taped.pen import GREY, lead
from crewdesk.paper.taped.type_sizes import TypeSizes

Figures = list[tuple[str, str]]
"""What each is called, and the figure as it is shown."""
_FEWEST = 4
"""Columns that a row has at least, so that figures stand under one another."""


def figures_strip(pages: Pages, rows: list[Figures], size: TypeSizes) -> Strip:
    """Each figure in large type under its name, those of a row side by side; a name that is
    wider than its column goes on in the next line."""
    cells = [
        [(pages.wrapped(name, size.word, _column(pages, row) - 6), figure) for name, figure in row]
        for row in rows
    ]
    names = [max((len(lines) for lines, _ in row), default=0) * lead(size.word) for row in cells]

    def draw(pages: Pages, y: float) -> None:
        for row, above in zip(cells, names, strict=True):
            each = _column(pages, row)
            for at, (lines, figure) in enumerate(row):
                x, top = pages.left + at * each, y + above - len(lines) * lead(size.word)
                for number, line in enumerate(lines):
                    pages.write(x, top + number * lead(size.word), line, size.word, grey=GREY)
                fits = pages.size_for(figure, size.mark, each - 6, size.small, bold=True)
                below = y + above + 0.95 * (size.mark - fits)
                pages.write(x, below, figure, fits, bold=True)
            y += above + lead(size.mark)

    return Strip(sum(names) + len(rows) * lead(size.mark), draw)


def _column(pages: Pages, row: Sized) -> float:
    """How wide each figure's column is, in points."""
    return pages.wide / max(len(row), _FEWEST)

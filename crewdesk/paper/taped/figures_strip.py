"""Figures side by side on a page."""

from crewdesk.paper.taped.pages import Pages, Strip
from crewdesk.paper.taped.pen import GREY, lead
from crewdesk.paper.taped.type_sizes import TypeSizes

Figures = list[tuple[str, str]]
"""What each is called, and the figure as it is shown."""
_FEWEST = 4
"""Columns that a row has at least, so that figures stand under one another."""


def figures_strip(pages: Pages, rows: list[Figures], size: TypeSizes) -> Strip:
    """Each figure in large type under its name, those of a row side by side."""
    high = lead(size.word) + lead(size.mark)

    def draw(pages: Pages, y: float) -> None:
        for row in rows:
            each = pages.wide / max(len(row), _FEWEST)
            for at, (name, figure) in enumerate(row):
                x = pages.left + at * each
                pages.write(x, y, name, size.word, grey=GREY, room=each - 6)
                fits = pages.size_for(figure, size.mark, each - 6, size.small, bold=True)
                below = y + lead(size.word) + 0.95 * (size.mark - fits)
                pages.write(x, below, figure, fits, bold=True)
            y += high

    return Strip(len(rows) * high, draw)

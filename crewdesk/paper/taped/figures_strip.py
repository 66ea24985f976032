"""Figures side by side on a page."""

from crewdesk.paper.taped.pages import GREY, Pages, Strip, lead
from crewdesk.paper.taped.type_sizes import TypeSizes

Figures = list[tuple[str, str]]
"""What each is called, and the figure as it is shown."""


def figures_strip(pages: Pages, figures: Figures, size: TypeSizes) -> Strip:
    """Each figure in large type under its name, up to five side by side."""
    rows = [figures] if len(figures) <= 5 else [figures[:3], figures[3:]]
    high = lead(size.word) + lead(size.mark)

    def draw(pages: Pages, y: float) -> None:
        for row in rows:
            each = pages.wide / max(len(row), 4)
            for at, (name, figure) in enumerate(row):
                x = pages.left + at * each
                pages.write(x, y, name, size.word, grey=GREY, room=each - 6)
                fits = pages.size_for(figure, size.mark, each - 6, size.small, bold=True)
                below = y + lead(size.word) + 0.95 * (size.mark - fits)
                pages.write(x, below, figure, fits, bold=True)
            y += high

    return Strip(len(rows) * high, draw)

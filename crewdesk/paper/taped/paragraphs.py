"""Paragraphs, and lists of them under a heading."""

from collections.abc import Sequence

from crewdesk.paper.taped.pages import Pages, Strip, gap
from crewdesk.paper.taped.pen import lead
from crewdesk.paper.taped.type_sizes import TYPE


def lines_strip(
    pages: Pages, text: str, size: float, *, bold: bool = False, indent: float = 0, first: str = ""
) -> Strip:
    """A paragraph over the whole width, `first` before its first line; lines hang behind it."""
    start = indent + (pages.width_of(f"{first} ", size, True) if first else 0)
    lines = pages.wrapped(text, size, pages.wide - start, bold=bold)

    def draw(pages: Pages, y: float) -> None:
        if first:
            pages.write(pages.left + indent, y, first, size, bold=True)
        for at, line in enumerate(lines):
            pages.write(pages.left + start, y + at * lead(size), line, size, bold=bold)

    return Strip(len(lines) * lead(size), draw)


def put_list(pages: Pages, head: str, lines: Sequence[str], *, first: str) -> None:
    """Lines under a heading, which stays with the first of them."""
    title = lines_strip(pages, head, TYPE.mark, bold=True)
    strips = [lines_strip(pages, one, TYPE.word, first=first) for one in lines]
    pages.put([title, strips[0]])
    for strip in strips[1:]:
        pages.put([strip])
    pages.put([gap(8)])

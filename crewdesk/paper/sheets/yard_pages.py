"""The yard list on paper: a check box for each size to buy, and the pieces of each board."""

from collections.abc import Mapping
from decimal import Decimal
from itertools import groupby

from crewdesk.job.record import Record
from crewdesk.paper.plain import plain
from crewdesk.paper.sheets.pages import Pages, Strip, gap, lines_strip
from crewdesk.paper.sheets.pen import TYPE, lead
from crewdesk.paper.text.yard_list import yard_list


def draw_yard_pages(pages: Pages, record: Record, prices: Mapping[str, Decimal]) -> None:
    """Draw what to buy, size by size; raises `NotAllowed` if no board plan is kept."""
    found = yard_list(record, prices)
    pages.put([lines_strip(pages, found.total, TYPE.mark, bold=True), gap(6)])
    for size, rows in groupby(found.rows, key=lambda one: one.size):
        title = [lines_strip(pages, plain(size), TYPE.mark, bold=True)]
        for one in rows:
            block = [*title, _boxed(pages, one.words, ticked=not one.to_buy)]
            block += [lines_strip(pages, plain(line), TYPE.word, indent=26) for line in one.becomes]
            pages.put(block, below=4)
            title = []
        pages.put([gap(6)])
    if found.supplies:
        title = [lines_strip(pages, "Supplies", TYPE.mark, bold=True)]
        for line in found.supplies:
            pages.put([*title, _boxed(pages, plain(line), ticked=False)])
            title = []


def _boxed(pages: Pages, words: str, *, ticked: bool) -> Strip:
    """Return a line with a check box; further lines are indented."""
    size, indent = TYPE.word, 26.0
    lines = pages.wrapped(words, size, pages.wide - indent, bold=True)

    def draw(pages: Pages, y: float) -> None:
        pages.box(pages.left, y - 2, TYPE.mark, ticked=ticked)
        for at, line in enumerate(lines):
            pages.write(pages.left + indent, y + at * lead(size), line, size, bold=True)

    return Strip(len(lines) * lead(size) + 3, draw)

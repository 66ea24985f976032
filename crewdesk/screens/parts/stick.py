"""The story stick: quantities, prices and days drawn as a stick with marks.

Each function gives the parts of one line, each a text and the ink it is drawn in, one of the
styles of `Lines`. Every part has a sign of its own, so that a stick reads without color:

    ━━━━━━━━━━━╸──────┃      made, left to do, and a notch at the plan
    ━━━━━━━━━━━━━━┃═════      an over-run goes on past the notch
      ├─────┃────────┤        low, likely and high on one scale
    ···━━━━━━···━━━━━··       a day: worked, and not
"""

from collections.abc import Iterable, Sequence
from decimal import Decimal
from fractions import Fraction
from itertools import groupby

Part = tuple[str, str]
"""A text and its ink."""
Size = int | Fraction | Decimal

MADE, LEFT, NOTCH, OVER, IDLE = "━", "─", "┃", "═", "·"
AGREED = "◆"
_SHORT = "╸"
_LOW, _HIGH = "├", "┤"


def place(size: Size, most: Size, width: int) -> int:
    """Return the column at which a quantity ends, `most` being as long as `width`.

    It is rounded to the nearest column, so it is never off by more than half of one.
    """
    if most <= 0 or width <= 0:
        return 0
    return min(max(round(Fraction(size) * width / Fraction(most)), 0), width)


def bar(parts: Iterable[tuple[Size, str]], most: Size, width: int) -> str:
    """Return each part drawn with its sign, one after the other, `most` being as long as
    `width`.

    Ends are rounded to the nearest sign, so the whole is never off by more than half of one.
    """
    if not most or width <= 0:
        return ""
    text, sum_ = "", Fraction(0)
    for size, sign in parts:
        sum_ += Fraction(size)
        text += sign * (round(width * sum_ / Fraction(most)) - len(text))
    return text


def stick(
    made: Size, plan: Size | None, most: Size, width: int, *, ink: str = "made"
) -> list[Part]:
    """Return a quantity against its plan, in `width` columns.

    made: what was made or spent. plan: what it should come to, where the notch stands; None for
    none. most: the quantity as long as the stick, the same for all sticks side by side.
    """
    if width < 2:
        return []
    cells = [(" ", "text")] * width
    end = place(made, most, width)
    if made > 0:
        end = max(end, 1)
    for at in range(end):
        cells[at] = (MADE, ink)
    if plan is not None:
        over = made > plan
        notch = min(place(plan, most, width), width - 1 - over)
        for at in range(end, notch):
            cells[at] = (LEFT, "muted")
        if over:
            for at in range(notch, max(end, notch + 2)):
                cells[at] = (OVER, "over")
        cells[notch] = (NOTCH, "strong")
    return _joined(cells)


def layered(
    parts: Iterable[tuple[Size, str, str]], plan: Size | None, most: Size, width: int
) -> list[Part]:
    """Return a stick of parts one after the other, in `width` columns.

    parts: each a quantity, its sign and its ink; one above 0 has a column at least. plan: where
    the notch stands, None for none; what goes on past it is an over-run. most: the quantity as
    long as the stick.
    """
    if width < 2:
        return []
    cells = [(" ", "text")] * width
    at, sum_ = 0, Fraction(0)
    for size, sign, ink in parts:
        sum_ += Fraction(size)
        end = min(max(place(sum_, most, width), at + (size > 0)), width)
        cells[at:end] = [(sign, ink)] * (end - at)
        at = end
    if plan is not None:
        over = sum_ > plan
        notch = min(place(plan, most, width), width - 1 - over)
        if over:
            for column in range(notch, max(at, notch + 2)):
                cells[column] = (OVER, "over")
        cells[notch] = (NOTCH, "strong")
    return _joined(cells)


def span_stick(
    low: Size, likely: Size, high: Size, most: Size, width: int, *, mark: Size | None = None
) -> list[Part]:
    """Return a stick from low to high with a notch at the likely, `most` being as long as
    `width`; mark: what was agreed on, None for nothing."""
    if width <= 0:
        return []
    cells = [(" ", "text")] * width
    first, notch, last = (min(place(one, most, width), width - 1) for one in (low, likely, high))
    for at in range(first, last + 1):
        cells[at] = (LEFT, "muted")
    cells[first], cells[last] = (_LOW, "muted"), (_HIGH, "muted")
    cells[notch] = (NOTCH, "strong")
    if mark is not None:
        cells[min(place(mark, most, width), width - 1)] = (AGREED, "strong")
    return _joined(cells)


def closing_stick(low: Size, best: Size, first: Size, last: Size, width: int) -> list[Part]:
    """Return two marks that close in on one another, from `first` at the left to `last` at the
    right: the least that there can be, and the best so far."""
    if width < 2:
        return []
    whole = Fraction(last) - Fraction(first)
    at, mark = (
        min(place(max(Fraction(one) - Fraction(first), Fraction(0)), whole, width - 1), width - 1)
        for one in (low, best)
    )
    cells = [(IDLE, "muted")] * width
    for column in range(at, mark + 1):
        cells[column] = (LEFT, "text")
    cells[at] = (_LOW, "dimension")
    cells[mark] = (NOTCH, "strong")
    return _joined(cells)


def day_stick(
    spans: Iterable[tuple[Size, Size, str]], first: Size, last: Size, width: int
) -> list[Part]:
    """Return a day from `first` to `last`, in any unit of time, with its spans: each the begin,
    the end and the ink of what was worked; what was not worked is dotted, or half a column where
    it is too short for one."""
    whole = Fraction(last) - Fraction(first)
    if width <= 0 or whole <= 0:
        return []
    cells = [(IDLE, "muted")] * width
    stopped: Size = 0
    for begin, end, ink in sorted(spans, key=lambda one: Fraction(one[0])):
        at = min(place(Fraction(begin) - Fraction(first), whole, width), width - 1)
        if at and begin > stopped and cells[at - 1][0] == MADE:
            cells[at - 1] = (_SHORT, cells[at - 1][1])
        for column in range(at, max(place(Fraction(end) - Fraction(first), whole, width), at + 1)):
            cells[column] = (MADE, ink)
        stopped = max(stopped, end)
    return _joined(cells)


def ruled(title: str, width: int) -> list[Part]:
    """Return a rule with a title in it, that heads a group: ``── Study ──────``."""
    if not title or width < 6:
        return [(LEFT * max(width, 0), "rule")]
    cut = title if len(title) <= width - 4 else f"{title[: max(width - 5, 0)]}…"
    rest = max(width - len(cut) - 4, 0)
    return [(f"{LEFT * 2} ", "rule"), (cut, "head"), (f" {LEFT * rest}", "rule")]


def dimension(text: str, width: int) -> str:
    """Return a dimension line of `width` columns, its ends at the edges that it measures: ``├◂──
    109 3/4 ──▸┤``; the text alone if there is no room for a line."""
    room = width - len(text) - 2
    if room < 4:
        return text[:width].center(width)
    left = (room - 2) // 2
    line = f"{_LOW}◂{LEFT * (left - 1)} {text} {LEFT * (room - left - 3)}▸{_HIGH}"
    return line


def _joined(cells: Sequence[Part]) -> list[Part]:
    """Return the cells with those of one ink side by side put together."""
    return [
        ("".join(sign for sign, _ in run), ink)
        for ink, run in ((ink, list(run)) for ink, run in groupby(cells, key=lambda one: one[1]))
    ]

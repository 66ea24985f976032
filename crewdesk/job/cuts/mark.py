"""A mark of a board, with the mark by today's readings beside it if the board was cut and kept."""

from collections.abc import Collection, Iterable, Iterator, Mapping
from fractions import Fraction
from typing import NamedTuple

from crewdesk.job.cuts.marks import CleatMarks, Marks
from crewdesk.length import HIDDEN_AT_MOST, Length, Step, Way, exact


class Mark(NamedTuple):
    """One mark of a board.

    `id` never changes; `name` says what it is, `at` where on the board, `note` the rest; `end` is
    the end of the beam that it is at, 0 if it is at neither. `value` is in inches, or None if the
    mark is an angle or words alone; `way` is how it is rounded when shown, to the nearest where a
    step is no more than `near_to` inches (see `way_at`); `deg` is an angle in degrees that goes
    with it. `within` is how far the value can be off, in inches. Marks of the same `row` are read
    together; `feeds` is the reading that it answers at once; a `large` one is set at a machine or
    drawn on the board.

    Of a board that was cut and kept though today's readings make another, `kept` is the reason, the
    mark is as it was cut, and `today` is the one by today's readings, or None if they make none.
    `held` says that it is asked about again, after a further change.
    """

    id: str
    name: str
    value: Length | None = None
    way: Way = "near"
    at: str = ""
    note: str = ""
    deg: float | None = None
    within: Length | None = None
    row: str = ""
    large: bool = False
    end: int = 0
    kept: str = ""
    today: "Mark | None" = None
    held: bool = False
    near_to: Length = Fraction(0)

    def way_at(self, step: Step) -> Way:
        """Return how the value is rounded when it is shown to a step."""
        return "near" if step.size <= self.near_to else self.way


def if_held(mark: Mark, made: Marks) -> Mark:
    """Return a mark, noting whether its kept cut needs another answer."""
    if not mark.kept or not made.asked:
        return mark
    name = _FIGURES.get(mark.id, mark.id)
    return mark._replace(held=name in made.asked or name not in made.kept)


def stock_mark(made: Marks) -> Iterator[Mark]:
    """Return the mark of a kept board's thickness, if ripped from other stock than the
    section's."""
    if isinstance(made, CleatMarks) or made.built is None:
        return
    assert not isinstance(made.built, CleatMarks)
    if made.built.thickness != made.thickness:
        today = Mark("thickness", "stock", made.thickness, at="thick", row="stock")
        mark = today._replace(value=made.built.thickness)
        yield mark._replace(kept=_reason(mark, made.kept), today=today)


def as_cut_and_today(
    today: Iterable[Mark], built: Iterable[Mark], kept: Mapping[str, str]
) -> Iterator[Mark]:
    """Return a kept board's marks as cut, each with today's if it differs; and the reliefs and
    tilted edges that it was cut without."""
    now = {one.id: one for one in today}
    for mark in built:
        other = now.pop(mark.id, _square_edge(mark))
        if mark.id == "blank" or (other is not None and _alike(mark, other)):
            yield mark
        else:
            yield mark._replace(kept=_reason(mark, kept), today=other)
    for other in now.values():
        if other.id.startswith("relief"):
            none = other._replace(value=None, deg=None, at="", note="not relieved")
            yield none._replace(kept=_reason(other, kept), today=other)
        elif (square := _square_edge(other)) is not None:
            yield square._replace(kept=_reason(other, kept), today=other)


def _square_edge(mark: Mark) -> Mark | None:
    """Return what a side's edge is without the tilt of a mark; None for other marks."""
    name = _EDGES.get(mark.id)
    if name is None:
        return None
    return mark._replace(name=name, value=None, deg=None, at="", note="square", large=False)


_EDGES = {"bottom_edge": "bottom edge", "top_edge": "top edge", "back_height": "top edge"}
"""The name of a side's tilted edge, by its mark."""


def _alike(mark: Mark, other: Mark) -> bool:
    """Return whether two marks agree to the smallest shown difference."""
    at = other.at if mark.id == "height" else mark.at  # its edges' own marks say what they are
    if mark._replace(value=None, deg=None, at=at) != other._replace(value=None, deg=None):
        return False
    return _near(mark.value, other.value, HIDDEN_AT_MOST) and _near(mark.deg, other.deg, _SAME_DEG)


_SAME_DEG = 0.05
"""Angles closer than this, in degrees, count as equal."""


def _near(one: Length | None, other: Length | None, most: Length) -> bool:
    if one is None or other is None:
        return one is other
    return abs(exact(one) - exact(other)) <= exact(most)


def is_set_by(mark: Mark, figures: Collection[str]) -> bool:
    """Return whether a mark shows one of a step's figures, given by their names."""
    return _FIGURES.get(mark.id, mark.id) in figures


def _reason(mark: Mark, kept: Mapping[str, str]) -> str:
    return kept.get(_FIGURES.get(mark.id, mark.id)) or next(iter(kept.values()))


_FIGURES = {
    "end1": "end1_offset",
    "end2": "end2_offset",
    "cut1": "end1_offset",
    "cut2": "end2_offset",
    "cuts": "edge_a",
    "back_a": "edge_a",
    "back_b": "edge_b",
    "edges": "width",
    "bottom_edge": "height",
    "top_edge": "height",
    "back_height": "height",
}
"""The check-off's figure for a mark's id, if it has another name."""

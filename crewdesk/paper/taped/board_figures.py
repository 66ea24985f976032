"""The figures of a board in large type on paper; the rest of its marks stand in lines below."""

from collections.abc import Iterable

from crewdesk.job.cuts.mark_list import Mark, mark_list
from crewdesk.job.cuts.marks import Marks
from crewdesk.length import Step
from crewdesk.paper.board_marks import (
    Walls,
    degrees_of,
    figure_of,
    kept_words,
    lines_of_marks,
    rows_of,
)
from crewdesk.paper.taped.figures_strip import Figures

_MOST = 5
"""Figures that have room side by side."""


def figures_of(made: Marks, key: str, step: Step) -> list[Figures]:
    """Return the figures of a piece, in rows of up to `_MOST`."""
    rows: list[Figures] = []
    for row in rows_of(_in_figures(mark_list(made, key))):
        figures = [(_named(one), figure_of(one, step)) for one in row]
        if rows and len(rows[-1]) + len(figures) <= _MOST:
            rows[-1] += figures
        else:
            rows.append(figures)
    return rows


def _named(mark: Mark) -> str:
    """A figure's name, with its place and its angle where it has them."""
    where = "" if mark.at == "up the inside" else mark.at
    angle = "" if mark.value is None or mark.deg is None else f"({degrees_of(mark.deg)})"
    kept = "as cut" if mark.kept else ""
    return " ".join(filter(None, (mark.name, kept, where, angle)))


def words_of(made: Marks, key: str, walls: Walls, step: Step) -> list[str]:
    """Return the marks that are not figures alone, in lines: edges, ends, backs."""
    every = mark_list(made, key)
    figures = _in_figures(every)
    drawn = [one for one in every if one.id in ("end1", "end2", "cut1", "cut2", "cuts")]
    rest = [one for one in every if one not in figures and one not in drawn]
    kept = [f"{one.name}: {kept_words(one, step)}" for one in figures if one.kept]
    kept += lines_of_marks((one for one in drawn if one.kept), walls, step)
    return [*lines_of_marks(rest, walls, step), *kept]


def _in_figures(marks: Iterable[Mark]) -> list[Mark]:
    """The marks that are one number: no end's, whose slant or cut takes words."""
    return [one for one in marks if one.large and not one.end]

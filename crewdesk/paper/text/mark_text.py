"""One board's marks and their uncertainty, rounded up, in lines and as JSON;
`crewdesk.job.cuts.mark_list` defines each mark."""

from collections.abc import Iterable, Iterator, Mapping
from itertools import groupby
from typing import Any

from crewdesk.job.beams.beam import Beam
from crewdesk.job.beams.measured import BOTH
from crewdesk.job.beams.piece import Piece
from crewdesk.job.beams.readings import READING_KINDS
from crewdesk.job.beams.uncertainty import Sureness
from crewdesk.job.cuts.bottoms import guessed_ends
from crewdesk.job.cuts.mark import Mark
from crewdesk.job.cuts.mark_list import mark_list
from crewdesk.job.cuts.marks import BackRelief, BottomMarks, CleatMarks, Marks, SideMarks, as_it_is
from crewdesk.length import (
    DEFAULT_STEP,
    MM_PER_INCH,
    SIXTY_FOURTH,
    Length,
    Step,
    exact_text,
    mixed,
    rounded_up,
    show_length,
)
from crewdesk.paper.lengths import degrees_shown, length_json, lengths_json
from crewdesk.paper.plain import plain
from crewdesk.paper.sheet import facts_json
from crewdesk.trade.cuts.board_end import BoardEnd
from crewdesk.trade.cuts.side_board import SideCut, ends_left_to_right

_HALF_MM = 1 / MM_PER_INCH / 2
_NAMES = {
    "bottom_length": "bottom edge",
    "top_length": "top edge",
    "blank": "blank",
    "end1": "offset at end 1",
    "end2": "offset at end 2",
    "relief1": "back at end 1",
    "relief2": "back at end 2",
    "edge_a": "edge A",
    "edge_b": "edge B",
    "cut1": "slant at end 1",
    "cut2": "slant at end 2",
    "start_A": "start on side A",
    "start_B": "start on side B",
    "start_wall": "start on the wall",
    "length_A": "length on side A",
    "length_B": "length on side B",
    "length_wall": "length on the wall",
}

_PAIRS = {
    ("end1", "end2"): "offsets",
    ("relief1", "relief2"): "backs",
    ("edge_a", "edge_b"): "length",
    ("cut1", "cut2"): "slants",
    ("start_A", "start_B"): "starts",
    ("length_A", "length_B"): "lengths",
}


def within_shown(off: Length, step: Step = DEFAULT_STEP) -> str:
    """Return a length's uncertainty without its unit: rounded up to 1/64 in, or to half a
    millimeter in a job in millimeters."""
    if not step.mm:
        return mixed(rounded_up(off, SIXTY_FOURTH))
    return f"{float(rounded_up(off, _HALF_MM) * MM_PER_INCH):g}"


def within(off: Length, step: Step = DEFAULT_STEP) -> str:
    """Return the same with its unit: ``3/32 in``, ``2.5 mm``."""
    return f"{within_shown(off, step)} {'mm' if step.mm else 'in'}"


def within_json(off: Length, step: Step = DEFAULT_STEP) -> dict[str, str]:
    """Return ``{"exact": "5/64", "shown": "5/64"}``: exact in inches, shown rounded up."""
    shown = within_shown(off, step)
    return {"exact": exact_text(off), "shown": f"{shown} mm" if step.mm else shown}


def uncertainty_line(sure: Sureness, step: Step = DEFAULT_STEP) -> str:
    """Return each mark's uncertainty at worst, on one line; "" if none was measured."""
    text = ", ".join(f"{name} {off}" for name, off in _named(sure.within, step))
    return f"within ({'mm' if step.mm else 'in'}): {text}" if text else ""


def uncertainty_lines(sure: Sureness, step: Step = DEFAULT_STEP) -> list[str]:
    """Return the same, and below it how to reduce the uncertainty, each line with ``!``."""
    line = uncertainty_line(sure, step)
    return [*([line] if line else []), *(f"! {one}" for one in uncertainty_cautions(sure, step))]


def _named(within: Mapping[str, Length], step: Step) -> Iterator[tuple[str, str]]:
    """Return marks by name with their shown uncertainty; equal pairs once, and a back only if it
    differs from its edge."""
    shown = {id_: within_shown(off, step) for id_, off in within.items()}
    alike = [pair for pair in _PAIRS if shown.get(pair[0]) == shown.get(pair[1])]
    first = {pair[0]: _PAIRS[pair] for pair in alike}
    second = {pair[1] for pair in alike}
    for id_, off in shown.items():
        if id_ in _NAMES and id_ not in second:
            yield first.get(id_, _NAMES[id_]), off


def uncertainty_cautions(sure: Sureness, step: Step) -> list[str]:
    """Return how to reduce the marks' uncertainty, a sentence each."""
    return [one.shown(step) for one in sure.cautions]


Walls = tuple[str, str]
_CHOSEN = 8
"""The finest fraction of a degree that counts as chosen and is shown exactly."""


def rows_of(marks: Iterable[Mark]) -> Iterator[list[Mark]]:
    """Yield lists of marks that are read together."""
    for _, row in groupby(marks, key=lambda one: one.row):
        yield list(row)


def figure_of(mark: Mark, step: Step) -> str:
    """Return a mark's figure: its length with its unit, or its angle, or nothing."""
    if mark.value is not None:
        shown = show_length(mark.value, step, way=mark.way_at(step))
        if shown in ("0+", "0+ mm"):
            return "under 1 mm" if step.mm else f"under {mixed(step.size)} in"
        return shown if step.mm else f"{shown} in"
    return "" if mark.deg is None else degrees_of(mark.deg)


def degrees_of(angle: float) -> str:
    """Return an angle: as it is in eighths of a degree, else to the nearest hundredth."""
    return f"{angle:g}\u00b0" if (angle * _CHOSEN).is_integer() else degrees_shown(angle)


def mark_words(mark: Mark, walls: Walls, step: Step) -> tuple[str, str, str]:
    """Return a mark in three parts: name, figure, and the rest."""
    name = mark.name
    if mark.end and name in ("left", "right", "left end, top", "right end, top"):
        seen, _, top = name.partition(" end, ")
        name = f"{seen:<5} {walls[mark.end - 1]}: {top}".rstrip()
    rest = mark.at
    if mark.value is not None and mark.deg is not None:
        rest = f"{rest} ({degrees_of(mark.deg)})".strip()
    if mark.note:
        rest = f"{rest}; {mark.note}" if rest else mark.note
    if mark.kept:
        text = kept_words(mark, step)
        rest = f"{rest}; {text}" if rest else text
    return name, figure_of(mark, step), rest


def kept_words(mark: Mark, step: Step) -> str:
    """Return words for a kept mark: that it is as cut and why, or held again, and today's value,
    with the longer edge if that changed."""
    today = "none"
    if mark.today is not None:
        named = mark.today.name.rpartition(": ")[2] if mark.id in _END_CUTS else ""
        figure = figure_of(mark.today, step)
        where = mark.today.at if mark.today.at != mark.at else ""
        note = mark.today.note if not figure or not mark.note.endswith(mark.today.note) else ""
        today = " ".join(filter(None, (named if figure else "", figure, where)))
        today = ", ".join(filter(None, (today, note)))
    how = "held until you answer" if mark.held else f"kept: {plain(mark.kept)}"
    return f"as cut, {how}; today it would be {today}"


_END_CUTS = ("cut1", "cut2")
"""The marks of a flat board's ends, whose names include the longer edge."""


def lines_of(made: Marks, piece: Piece, walls: Walls, step: Step) -> list[str]:
    """Return a piece's marks in lines, without unmeasured ones."""
    return lines_of_marks(mark_list(made, piece.key), walls, step)


def lines_of_marks(marks: Iterable[Mark], walls: Walls, step: Step) -> list[str]:
    """Return marks in lines, those read together in one."""
    return [
        ", ".join(" ".join(filter(None, mark_words(one, walls, step))) for one in row)
        for row in rows_of(marks)
    ]


def values_of(
    made: Marks,
    piece: Piece,
    beam: Beam,
    step: Step,
    within: Mapping[str, Length] | None = None,
) -> dict[str, Any]:
    """Return a piece's marks as JSON; unmeasured ones are null. `within` is the marks' uncertainty,
    in inches, by id."""
    listed = {"list": [_mark_json(one, step) for one in mark_list(made, piece.key, within)]}
    made = as_it_is(made)
    if isinstance(made, SideMarks):
        return {
            **lengths_json(made, step, "height", "cleat_line"),
            "blade_deg": float(made.blade),
            **lengths_json(made, step, "back_height"),
            "top_blade_deg": float(made.top_blade),
            "bottom_edge": {"joint": made.bottom_joint, "blade_deg": float(made.blade)},
            "top_edge": {"joint": made.top_joint, "blade_deg": float(made.top_blade)},
            **_side_values(made, made.cut, piece, beam, step),
            **listed,
        }
    if isinstance(made, BottomMarks):
        return {
            **lengths_json(made, step, "width", "back_width", way="down"),
            **lengths_json(made, step, "flat"),
            "bevel_deg": float(made.bevel),
            "tilt_deg": abs(made.tilt),
            "lower_side": None if not made.tilt else "A" if made.tilt > 0 else "B",
            **lengths_json(made, step, "length", way="down"),
            "edges": _edge_values(made, step),
            **_cut_values(made, beam, step),
            **listed,
        }
    return {**_cleat_values(made, step), **listed}


def _mark_json(mark: Mark, step: Step) -> dict[str, Any]:
    value: dict[str, Any] | None = None
    if mark.value is not None:
        value = length_json(mark.value, step, mark.way_at(step))
    elif mark.deg is not None:
        value = {"angle_deg": mark.deg}
    return {
        **facts_json(mark, "id", "name"),
        "value": value,
        **facts_json(mark, "at", "note"),
        "within": None if mark.within is None else within_json(mark.within, step),
        **({"held" if mark.held else "kept": _kept_json(mark, step)} if mark.kept else {}),
    }


def _kept_json(mark: Mark, step: Step) -> dict[str, Any]:
    """Return why a mark is or was kept as cut, and its value by today's readings."""
    if (today := mark.today) is None:
        return {"reason": mark.kept, "today": None, "at": "", "name": ""}
    return {
        "reason": mark.kept,
        **lengths_json(today, step, "today=value", way=today.way_at(step)),
        **facts_json(today, "at", "name"),
    }


def _edge_values(made: BottomMarks, step: Step) -> list[dict[str, Any]]:
    cut = [joint in ("relief", "mitre") for joint in made.joints]
    short = (made.width - made.back_width) / max(1, sum(cut))
    zero = made.width - made.width
    return [
        {
            "edge": name,
            "joint": joint,
            "blade_deg": float(made.bevel) if beveled else 0.0,
            "flat": length_json(made.flat if joint == "relief" else made.thickness, step)
            if joint != "mitre"
            else length_json(zero, step),
            "back_short": length_json(short if beveled else zero, step),
        }
        for name, joint, beveled in zip("AB", made.joints, cut, strict=True)
    ]


def _cut_values(made: BottomMarks, beam: Beam, step: Step) -> dict[str, Any]:
    names = ("edge_a", "edge_b", "back_a", "back_b")
    if (cut := made.cut) is None:
        return {
            **dict.fromkeys((*names, "relief")),
            "own": made.own,
            "ends": None,
            "taken_as_square": [],
            "cautions": [],
        }
    return {
        **lengths_json(cut, step, *names, way="down"),
        **lengths_json(cut, step, "relief"),
        "own": made.own,
        "ends": [_end_values(end, step) for end in cut.ends],
        "taken_as_square": guessed_ends(
            cut.ends, [end for end in BOTH if beam.pair.square(end) is None]
        ),
        "cautions": [one.shown(step) for one in cut.cautions],
    }


def _end_values(end: BoardEnd, step: Step) -> dict[str, Any]:
    return {
        **facts_json(end, "end", "known", "longer"),
        **lengths_json(end, step, "offset", way=end.way(step.size)),
        **facts_json(end, "miter_deg", "joint", "blade_deg"),
        **lengths_json(end, step, "flat", "back_short"),
    }


def _side_values(
    made: SideMarks, cut: SideCut | None, piece: Piece, beam: Beam, step: Step
) -> dict[str, Any]:
    if cut is None:
        return dict.fromkeys(("bottom_length", "top_length", "blank", "end1", "end2"))
    seen = ends_left_to_right("A" if piece.key == "A" else "B")
    ends = {
        f"end{number}": {
            "seen_at": "left" if seen[0] == number else "right",
            "wall": beam.ends[number - 1],
            "offset": length_json(end.offset, step, "up"),
            "angle_deg": end.angle_deg,
            "back_relief": _relief_json(made.reliefs[number - 1], step),
        }
        for number, end in enumerate((cut.end1, cut.end2), 1)
    }
    return {
        **lengths_json(cut, step, "bottom_length", "top_length", way="down"),
        **lengths_json(cut, step, "blank", way="up"),
        **ends,
    }


def _relief_json(relief: BackRelief | None, step: Step) -> dict[str, Any] | None:
    if relief is None:
        return None
    return {"by": length_json(relief.by, step, "up"), "angle_deg": relief.deg}


def _cleat_values(made: CleatMarks, step: Step) -> dict[str, Any]:
    return {
        "line": length_json(made.line, step),
        "lengths": [
            None if one is None else length_json(one, step, "down") for one in made.lengths
        ],
        "cleats": [
            {
                "on": one.on,
                **lengths_json(one, step, "line"),
                **lengths_json(one, step, "start", way="up"),
                **lengths_json(one, step, "length", way="down"),
                **lengths_json(one, step, "projection", "height"),
            }
            for one in made.cleats
        ],
    }


def one_mark(made: Marks, key: str, what: str, step: Step) -> tuple[str, str] | None:
    """Return the words and the figures of a reading's mark, for example ``("bottom edge",
    "147 5/16")``; None until it is known."""
    id_ = READING_KINDS[what].mark
    mark = next((one for one in mark_list(made, key) if id_ and one.id == id_), None)
    if mark is None:
        return None
    if mark.value is None:
        return f"{mark.name} end: {mark.note}", "0"
    name, _, rest = mark_words(mark._replace(end=0, deg=None), ("", ""), step)
    never = "bottom board, never over" if isinstance(made, BottomMarks) else name
    words = f"{never} {rest}".strip() if mark.end or mark.kept else never
    return words, show_length(mark.value, step, way=mark.way_at(step))


def other_marks(made: Marks, beam: Beam, key: str, step: Step) -> list[str]:
    """Return all marks of a side in short lines, as seen from its show face; of a bottom none."""
    if not isinstance(made, SideMarks) or made.cut is None:
        return []
    marks = [one for one in mark_list(made, key) if one.row != "section"]
    walls = (beam.ends[0] or "end 1", beam.ends[1] or "end 2")
    return lines_of_marks(marks, walls, step)

"""One board's marks in lines and as JSON."""

from typing import Any

from crewdesk.job.beam import Beam
from crewdesk.job.marks import BottomMarks, CleatMarks, Marks, SideMarks
from crewdesk.job.piece import Piece
from crewdesk.job.sentences import sentence
from crewdesk.paper.lengths import (
    degrees_shown,
    length_json,
    length_json_at_most,
    with_unit,
    with_unit_at_most,
)
from crewdesk.trade.cuts.bottom_cut import BottomCut
from crewdesk.trade.cuts.side_board import EndCut, SideCut, ends_left_to_right
from crewdesk.trade.length import Length, Step

Walls = tuple[str, str]


def lines_of(made: Marks, piece: Piece, walls: Walls, step: Step) -> list[str]:
    """A piece's marks in lines; what still has to be read is left out."""
    if isinstance(made, SideMarks):
        line = made.cleat_line
        about = (
            f"bottom edge mitred, blade {float(made.blade):g}\u00b0"
            if line is None
            else f"cleat line {with_unit(line, step)} up the inside"
        )
        lines = [f"{with_unit(made.height, step)} high, {about}"]
        if made.top_blade:
            lines.append(top_told(made, step))
        return lines if made.cut is None else lines + _side(made.cut, piece, walls, step)
    if isinstance(made, BottomMarks):
        lines = [
            f"{with_unit(made.width, step)} wide at the show face, "
            f"{with_unit(made.back_width, step)} at the back",
            edges_told(made, step),
        ]
        return lines if made.cut is None else [*lines, *_lengths(made, made.cut, step)]
    lengths = " and ".join(with_unit(one, step) for one in made.lengths if one is not None)
    return [
        f"lower edge {with_unit(made.line, step)} up the inside of each side",
        *([f"{lengths} long"] if lengths else []),
    ]


def top_told(made: SideMarks, step: Step) -> str:
    """How the top edge along a ridge is cut."""
    return (
        f"top edge along the ridge: back {with_unit(made.back_height, step)} high, "
        f"blade {degrees_shown(float(made.top_blade))}"
    )


def _lengths(made: BottomMarks, cut: BottomCut, step: Step) -> list[str]:
    """The bottom board's lengths, each shown rounded down."""

    def told(show: Length, back: Length) -> str:
        at_back = f", {with_unit_at_most(back, step)} at the back" if back != show else ""
        return f"{with_unit_at_most(show, step)} long{at_back}"

    own = ["lengths of your own choice"] if made.own else []
    if cut.edge_a == cut.edge_b:
        return [told(cut.edge_a, cut.back_a), *own]
    return [
        f"edge A {told(cut.edge_a, cut.back_a)}",
        f"edge B {told(cut.edge_b, cut.back_b)}",
        *own,
    ]


def edges_told(made: BottomMarks, step: Step) -> str:
    """How the edges of a board between the sides are cut."""
    if made.bevel == 0:
        return "edges square"
    if made.flat == 0:
        return f"both edges mitred, blade {float(made.bevel):g}\u00b0"
    return (
        f"relief bevel {float(made.bevel):g}\u00b0 on both edges and both ends, "
        f"{with_unit(made.flat, step)} left flat"
    )


def _side(cut: SideCut, piece: Piece, walls: Walls, step: Step) -> list[str]:
    left, right = ends_left_to_right("A" if piece.key == "A" else "B")
    ends = (cut.end1, cut.end2)
    return [
        f"bottom edge {with_unit(cut.bottom_length, step)}, "
        f"top edge {with_unit(cut.top_length, step)}, blank {with_unit(cut.blank, step)}",
        f"left  {walls[left - 1]}: {end_told(ends[left - 1], step)}",
        f"right {walls[right - 1]}: {end_told(ends[right - 1], step)}",
    ]


def end_told(end: EndCut, step: Step) -> str:
    """What to do at one end, from the square line through the bottom corner."""
    if end.offset == 0:
        return "square"
    way = "back from" if end.offset > 0 else "out past"
    return (
        f"top {with_unit(end.away, step)} {way} the square line "
        f"({degrees_shown(abs(end.angle_deg))})"
    )


def values_of(made: Marks, piece: Piece, beam: Beam, step: Step) -> dict[str, Any]:
    """A piece's marks as JSON; what still has to be read is null."""
    if isinstance(made, SideMarks):
        return {
            "height": length_json(made.height, step),
            "cleat_line": None if made.cleat_line is None else length_json(made.cleat_line, step),
            "blade_deg": float(made.blade),
            "back_height": length_json(made.back_height, step),
            "top_blade_deg": float(made.top_blade),
            **_side_values(made.cut, piece, beam, step),
        }
    if isinstance(made, BottomMarks):
        return {
            "width": length_json(made.width, step),
            "back_width": length_json(made.back_width, step),
            "flat": length_json(made.flat, step),
            "bevel_deg": float(made.bevel),
            "length": None if made.length is None else length_json_at_most(made.length, step),
            **_cut_values(made, step),
        }
    return _cleat_values(made, step)


def _cut_values(made: BottomMarks, step: Step) -> dict[str, Any]:
    names = ("edge_a", "edge_b", "back_a", "back_b")
    if (cut := made.cut) is None:
        return {**dict.fromkeys((*names, "relief")), "own": made.own, "cautions": []}
    return {
        **{name: length_json_at_most(getattr(cut, name), step) for name in names},
        "relief": length_json(cut.relief, step),
        "own": made.own,
        "cautions": [sentence(one) for one in cut.cautions],
    }


def _side_values(cut: SideCut | None, piece: Piece, beam: Beam, step: Step) -> dict[str, Any]:
    if cut is None:
        return dict.fromkeys(("bottom_length", "top_length", "blank", "end1", "end2"))
    seen = ends_left_to_right("A" if piece.key == "A" else "B")
    ends = {
        f"end{number}": {
            "seen_at": "left" if seen[0] == number else "right",
            "wall": beam.ends[number - 1],
            "offset": length_json(end.offset, step),
            "angle_deg": end.angle_deg,
        }
        for number, end in enumerate((cut.end1, cut.end2), 1)
    }
    return {
        "bottom_length": length_json(cut.bottom_length, step),
        "top_length": length_json(cut.top_length, step),
        "blank": length_json(cut.blank, step),
        **ends,
    }


def _cleat_values(made: CleatMarks, step: Step) -> dict[str, Any]:
    return {
        "line": length_json(made.line, step),
        "lengths": [None if one is None else length_json(one, step) for one in made.lengths],
    }

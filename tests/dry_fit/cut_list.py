"""The shown figures of a cut list's JSON, as a user would take them to the saw.

Lengths are read from their "shown" text alone; angles are rounded to a hundredth of a
degree. What the JSON holds as exact is never looked at.
"""

from typing import Any, NamedTuple

from tests.dry_fit.shown import degrees_of, length_of

Doc = dict[str, Any]


class SideEnd(NamedTuple):
    """A side's end: how far the top is cut back from the square line (out past it below 0),
    its angle, and what the back loses, 0 where it is cut square."""

    number: int
    offset: float
    angle: float
    relief: float
    relief_deg: float


class Edge(NamedTuple):
    """A long edge of a board: how it is cut, and the blade's tilt in degrees."""

    joint: str
    blade: float
    flat: float = 0.0
    back_short: float = 0.0


class SideFigures(NamedTuple):
    """A side board's figures; its ends as they lie before one who looks at its show face."""

    height: float
    back_height: float
    bottom_length: float
    top_length: float
    blank: float
    left: SideEnd
    right: SideEnd
    bottom_edge: Edge
    top_edge: Edge
    cleat_line: float | None


class BoardEnd(NamedTuple):
    """An end of a bottom or top board. `offset` is how far edge A runs past edge B, None
    where the slant is not known; `joint` is relief, bevel or square."""

    number: int
    offset: float | None
    miter: float | None
    joint: str
    blade: float
    flat: float
    back_short: float


class BoardFigures(NamedTuple):
    """A bottom's or a top's figures; ends 1 and 2, edges A and B. `flat` and `relief` are
    those of its long edges, None on paper, where each edge says its own."""

    width: float
    back_width: float
    length: float
    edge_a: float
    edge_b: float
    back_a: float
    back_b: float
    ends: tuple[BoardEnd, BoardEnd]
    edges: tuple[Edge, Edge]
    tilt: float
    lower_side: str | None
    flat: float | None = None
    relief: float | None = None


class Cleat(NamedTuple):
    """A cleat: its lower edge up from the side's bottom edge, where it starts, its length,
    how far it stands off the side's face, and how high it is."""

    on: str
    line: float
    start: float | None
    length: float | None
    projection: float
    height: float


class Mark(NamedTuple):
    """A scribe's mark: the gap over the top edge, what comes off there, the height left, and
    what the gap is said to be within."""

    side: str
    at: float
    gap: float
    cut_depth: float
    finished_height: float
    within: float


class Scribe(NamedTuple):
    """The scriber's setting, what it is said to be within, the width that is left of the sides
    at the least, and its marks."""

    setting: float
    within: float
    lowest: float
    marks: tuple[Mark, ...]
    reads_from: str


class Compound(NamedTuple):
    """A saw's two settings for an end, in degrees: `miter` positive where a side's top is cut
    back or a bottom's edge A is the longer, `blade` where the show face is the longer."""

    miter: float
    blade: float


class Beam(NamedTuple):
    """All figures of a beam. `within` has, by piece and mark, how far off it can be as said."""

    sides: dict[str, SideFigures]
    bottom: BoardFigures | None
    top: BoardFigures | None
    cleats: tuple[Cleat, ...]
    scribe: Scribe | None
    within: dict[tuple[str, str], float]
    compounds: dict[tuple[str, int], Compound]

    def said_within(self, piece: str, *marks: str) -> float:
        """How far off some of a piece's marks can be by what is said, added up."""
        return sum(self.within.get((piece, mark), 0.0) for mark in marks)


def beams_of(cut_list: Doc) -> dict[str, Beam]:
    """The beams of a cut list by name."""
    return {one["name"]: beam_of(one) for one in cut_list["beams"]}


def beam_of(doc: Doc) -> Beam:
    """One beam's figures."""
    pieces = {one["piece"]: one["marks"] for one in doc["pieces"]}
    return Beam(
        {key: _side(pieces[key]) for key in "AB" if key in pieces},
        _board(pieces["bottom"]),
        _board(pieces["top"]) if "top" in pieces else None,
        tuple(_cleat(one) for one in pieces["cleats"]["cleats"]) if "cleats" in pieces else (),
        _scribe(doc["scribe"]),
        {
            (key, mark["id"]): length_of(mark["within"])
            for key, marks in pieces.items()
            for mark in marks["list"]
            if mark["within"] is not None
        },
        {
            (piece["piece"], one["end"]): Compound(
                degrees_of(one["mitre_deg"]), degrees_of(one["blade_deg"])
            )
            for piece in doc["pieces"]
            for one in piece["compound"]
        },
    )


def _side(marks: Doc) -> SideFigures:
    ends = [_side_end(number, marks[f"end{number}"]) for number in (1, 2)]
    seen = [marks[f"end{number}"]["seen_at"] for number in (1, 2)]
    if sorted(seen) != ["left", "right"]:
        raise ValueError(f"both ends seen at {seen}")
    left, right = ends if seen == ["left", "right"] else ends[::-1]
    return SideFigures(
        length_of(marks["height"]),
        length_of(marks["back_height"]),
        length_of(marks["bottom_length"]),
        length_of(marks["top_length"]),
        length_of(marks["blank"]),
        left,
        right,
        _edge(marks["bottom_edge"]),
        _edge(marks["top_edge"]),
        None if marks["cleat_line"] is None else length_of(marks["cleat_line"]),
    )


def _side_end(number: int, doc: Doc) -> SideEnd:
    relief = doc["back_relief"]
    return SideEnd(
        number,
        length_of(doc["offset"]),
        degrees_of(doc["angle_deg"]),
        0.0 if relief is None else length_of(relief["by"]),
        0.0 if relief is None else degrees_of(relief["angle_deg"]),
    )


def _edge(doc: Doc) -> Edge:
    return Edge(
        doc["joint"],
        degrees_of(doc["blade_deg"]),
        length_of(doc.get("flat")),
        length_of(doc.get("back_short")),
    )


def _board(marks: Doc) -> BoardFigures:
    one, two = (_board_end(end) for end in sorted(marks["ends"], key=lambda end: end["end"]))
    a, b = (_edge(edge) for edge in sorted(marks["edges"], key=lambda edge: edge["edge"]))
    return BoardFigures(
        *(
            length_of(marks[name])
            for name in ("width", "back_width", "length", "edge_a", "edge_b", "back_a", "back_b")
        ),
        (one, two),
        (a, b),
        degrees_of(marks["tilt_deg"]),
        marks["lower_side"],
        *(length_of(marks[name]) for name in ("flat", "relief")),
    )


def _board_end(doc: Doc) -> BoardEnd:
    """An end; the sign of its offset and miter follows from the edge that is told as longer."""
    sign = {"A": 1, "B": -1, None: 0}[doc["longer"]]
    offset, miter = doc["offset"], doc["miter_deg"]
    if sign == 0 and doc["known"] and (length_of(offset) or degrees_of(miter or 0)):
        raise ValueError(f"end {doc['end']} runs past by {offset}, and neither edge is the longer")
    return BoardEnd(
        doc["end"],
        sign * abs(length_of(offset)) if doc["known"] else None,
        sign * abs(degrees_of(miter)) if doc["known"] and miter is not None else None,
        doc["joint"],
        degrees_of(doc["blade_deg"]),
        length_of(doc["flat"]),
        length_of(doc["back_short"]),
    )


def _cleat(doc: Doc) -> Cleat:
    return Cleat(
        doc["on"],
        length_of(doc["line"]),
        None if doc["start"] is None else length_of(doc["start"]),
        None if doc["length"] is None else length_of(doc["length"]),
        length_of(doc["projection"]),
        length_of(doc["height"]),
    )


def _scribe(doc: Doc | None) -> Scribe | None:
    if doc is None:
        return None
    names = ("at", "gap", "cut_depth", "finished_height", "within")
    marks = tuple(
        Mark(one["side"], *(length_of(one[name]) for name in names)) for one in doc["marks"]
    )
    setting, within, lowest = (
        length_of(doc[name]) for name in ("setting", "within", "lowest_drop")
    )
    return Scribe(setting, within, lowest, marks, doc["reads_from"])

"""Types (forms) of a built-up beam: its boards, their widths, and the cuts of their edges.

Widths are at the show face, in inches; blade angles are off square, in degrees. A form
is chosen for each beam, and its boards and cuts follow from it.
"""

from fractions import Fraction
from typing import Literal, NamedTuple

from crewdesk.errors import BadInput
from crewdesk.length import Length, exact
from crewdesk.trade.angle import tangent, times
from crewdesk.trade.bounds import more_than_zero
from crewdesk.trade.cuts.section import (
    Section,
    bottom_back_width,
    bottom_width,
    relief_per_edge,
    with_height,
)

Joint = Literal["square", "relief", "mitre", "scribed"]
TO_SCRIBE = Fraction(1, 4)
"""The extra width of a bottom that is scribed to a wall, in inches (common practice, no source)."""


class FormBoard(NamedTuple):
    """One board of a beam: its `name`, `width` at the show face and `back_width`, its `thickness`,
    and each long edge's joint with the blade's tilt for it. Of a side the first edge is its bottom
    one, of a bottom or top board the edge at side A. `tilt` is how a bottom board lies on purpose,
    in degrees, positive if edge A is the lower, and `narrowed` the width it loses at that lower
    edge, in inches. `stock` is its extra width to be scribed to a wall, in inches."""

    name: str
    width: Fraction
    back_width: Length
    thickness: Fraction
    first_edge: Joint
    first_blade: Fraction
    second_edge: Joint
    second_blade: Fraction
    tilt: float = 0.0
    narrowed: Fraction = Fraction(0)
    stock: Fraction = Fraction(0)


def three_board(section: Section, height_b: Fraction | None = None) -> tuple[FormBoard, ...]:
    """Return two sides and a bottom held up between them, the usual beam.

    `height_b` gives side B a height of its own, as under a step in the ceiling; both
    bottom edges still hang level, and so does the bottom board.

    Raises `BadInput` as a section does.
    """
    other = section if height_b is None else with_height(section, height_b)
    return (
        _side("side A", section.height, section),
        _side("side B", other.height, section),
        FormBoard(
            "bottom",
            bottom_width(section),
            bottom_back_width(section),
            section.bottom_thickness,
            "relief",
            section.bevel,
            "relief",
            section.bevel,
        ),
    )


def against_wall(section: Section) -> tuple[FormBoard, ...]:
    """Return one side, and a bottom from it to the wall, which carries a cleat in place of side B.

    The section's width runs from the side's show face to the wall. The bottom's edge at the
    wall is square and has `TO_SCRIBE` more than the width, to be scribed to the wall. A
    section has room for two sides, so there is room for one.
    """
    width = section.width - section.side_thickness - section.fit + TO_SCRIBE
    return (
        _side("side A", section.height, section),
        FormBoard(
            "bottom",
            width,
            width - relief_per_edge(section),
            section.bottom_thickness,
            "relief",
            section.bevel,
            "scribed",
            Fraction(0),
            stock=TO_SCRIBE,
        ),
    )


def mitred(
    width: Fraction,
    height: Fraction,
    thickness: Fraction = Fraction(3, 4),
    corner: Fraction = Fraction(90),
) -> tuple[FormBoard, ...]:
    """Return two sides and a bottom of one thickness that meet in mitered corners, no reveal.

    `corner` is the angle inside the beam between side and bottom; each blade stands at
    90 - corner/2 off square, 45 at a square corner, and each miter takes thickness x
    tan(blade) off the back. `width` is the bottom's show face, `height` a side's.

    Raises `BadInput`.
    """
    blade = _mitre_blade(width, height, thickness, corner)
    lost = times(thickness, tangent(blade))
    side = _back(height, lost, 1, width)
    return (
        FormBoard("side A", height, side, thickness, "mitre", blade, "square", Fraction(0)),
        FormBoard("side B", height, side, thickness, "mitre", blade, "square", Fraction(0)),
        FormBoard(
            "bottom", width, _back(width, lost, 2, width), thickness, "mitre", blade, "mitre", blade
        ),
    )


def check_one_thickness(sides: Fraction, bottom: Fraction) -> None:
    """Raise `BadInput` if a mitered beam's boards aren't of one thickness, in inches: at half the
    corner's angle their miters are then of unlike length, and the corner does not close."""
    if sides != bottom:
        raise BadInput(
            "Mitered corners take boards of one thickness, but the sides are {sides} in and the "
            "bottom {bottom} in. Set both to the same thickness.",
            field="bottom_thickness",
            sides=sides,
            bottom=bottom,
        )


def four_sided_mitred(
    width: Fraction, height: Fraction, thickness: Fraction = Fraction(3, 4)
) -> tuple[FormBoard, ...]:
    """Return a box that hangs free below the ceiling, four boards with mitered corners, blade 45.

    Raises `BadInput`.
    """
    blade = _mitre_blade(width, height, thickness, Fraction(90))
    return tuple(
        FormBoard(
            name, over, _back(over, thickness, 2, width), thickness, "mitre", blade, "mitre", blade
        )
        for name, over in (
            ("side A", height),
            ("side B", height),
            ("bottom", width),
            ("top", width),
        )
    )


def four_sided(section: Section) -> tuple[FormBoard, ...]:
    """Return the usual beam with a top board between its sides, flush with their top edges: a box
    that hangs free below the ceiling. Its top edges are square, since they don't show.

    Raises `BadInput`.
    """
    taken = section.reveal + 2 * section.bottom_thickness
    if taken >= section.height:
        raise BadInput(
            "Sides {height} in high have no room for a top board: bottom, reveal and top take "
            "{taken} in.",
            height=section.height,
            taken=taken,
        )
    width = bottom_width(section)
    square = Fraction(0)
    top = FormBoard(
        "top", width, width, section.bottom_thickness, "square", square, "square", square
    )
    return (*three_board(section), top)


def _side(name: str, height: Fraction, section: Section) -> FormBoard:
    square = Fraction(0)
    return FormBoard(
        name, height, height, section.side_thickness, "square", square, "square", square
    )


def _mitre_blade(
    width: Fraction, height: Fraction, thickness: Fraction, corner: Fraction
) -> Fraction:
    for name, value in (("width", width), ("height", height), ("thickness", thickness)):
        more_than_zero(f"beam's {name}", value)
    if not 90 <= corner < 180:
        raise BadInput(
            "A corner of {corner} degrees can't be mitered here. Type one from 90 to below 180.",
            corner=float(corner),
        )
    return 90 - corner / 2


def _back(show: Fraction, lost: Length, mitres: int, width: Fraction) -> Length:
    back = show - exact(mitres * lost)
    if back <= 0:
        raise BadInput(
            "A beam or board {width} in wide has no room for that type's boards.",
            width=min(show, width),
        )
    return back if isinstance(lost, Fraction) else float(show) - mitres * lost

"""The section of a beam, and the marks that follow from it."""

import math
from fractions import Fraction
from typing import NamedTuple

from crewdesk.errors import BadInput
from crewdesk.length import Length
from crewdesk.trade.angle import tangent, times
from crewdesk.trade.bounds import checked, more_than_zero, zero_or_more


@checked
class Section(NamedTuple):
    """Two sides with a bottom board held a reveal above their bottom edges.

    Every length is in inches, `bevel` in degrees. `width` is measured over the outside of the
    sides; `height` is the rough width of a side; `flat` stays square at the bottom board's show
    face beside the relief bevel; `fit` is the clearance in the bottom's width; `undercut` how much
    shorter it is cut.

    Raises `BadInput`, each with the values at fault.
    """

    width: Fraction
    height: Fraction
    side_thickness: Fraction = Fraction(3, 4)
    bottom_thickness: Fraction = Fraction(3, 4)
    reveal: Fraction = Fraction(1, 4)
    flat: Fraction = Fraction(1, 4)
    bevel: Fraction = Fraction(15)
    fit: Fraction = Fraction(0)
    undercut: Fraction = Fraction(1, 32)

    def check(self) -> None:
        """Raise `BadInput` for a value out of bounds."""
        for name in ("width", "height", "side_thickness", "bottom_thickness"):
            more_than_zero(f"section's {name}", getattr(self, name), "")
        for name in ("reveal", "flat", "bevel", "fit", "undercut"):
            zero_or_more(f"section's {name}", getattr(self, name), "")
        if self.bevel > 45:
            raise BadInput(
                "A relief bevel of {bevel} degrees is too steep; the limit is 45.", bevel=self.bevel
            )
        if self.flat > self.bottom_thickness:
            raise BadInput(
                "A flat of {flat} in is more than the bottom board's thickness of {thickness} in.",
                flat=self.flat,
                thickness=self.bottom_thickness,
            )
        if bottom_width(self) <= 0:
            raise BadInput(
                "A beam {width} in wide has no room for a bottom board: sides and "
                "clearance take {taken} in.",
                width=self.width,
                taken=2 * self.side_thickness + self.fit,
            )
        if bottom_back_width(self) <= 0:
            raise BadInput(
                "A bottom board {width} in wide is too narrow for its relief bevels. "
                "Use a wider flat or a smaller bevel.",
                width=bottom_width(self),
            )
        if cleat_line(self) >= self.height:
            raise BadInput(
                "Sides {height} in wide leave nothing above the bottom board: its "
                "reveal and thickness take {cleat_line} in. Use wider sides, or a "
                "smaller reveal.",
                cleat_line=cleat_line(self),
                height=self.height,
            )


def bottom_width(section: Section) -> Fraction:
    """Return the bottom board's width at its show face: W - 2 x side thickness - fit."""
    return section.width - 2 * section.side_thickness - section.fit


def relief_per_edge(section: Section) -> Length:
    """What the relief bevel takes off the back at each edge: (thickness - flat) x tan(bevel).

    A right triangle: its leg along the thickness is what the flat leaves, its
    angle at the flat is the blade's tilt.
    """
    return times(section.bottom_thickness - section.flat, tangent(section.bevel))


def bottom_back_width(section: Section) -> Length:
    """Return the bottom board's width at its back: the show width minus both reliefs."""
    relief = relief_per_edge(section)
    if isinstance(relief, Fraction):
        return bottom_width(section) - 2 * relief
    return float(bottom_width(section)) - 2 * relief


def cleat_line(section: Section) -> Fraction:
    """Return the height of the cleat's lower edge over a side's bottom edge: bottom thickness +
    reveal."""
    return section.bottom_thickness + section.reveal


def is_on_back(section: Section, reach: Fraction) -> bool:
    """Return whether a cleat that reaches `reach` inches off its side lies on the flat back of a
    level bottom, not on the relief of its edge. The board stands off each side by half its
    clearance."""
    return relief_per_edge(section) + section.fit / 2 <= reach


def cleat_line_at(section: Section, reach: Fraction) -> Length:
    """Return the height of the lower edge of a cleat over a side's bottom edge, in inches, if the
    cleat reaches `reach` inches off the side and the bottom lies level.

    A cleat that doesn't reach past the relief meets that with its outer corner: from the flat the
    relief rises 1 / tan(bevel) per inch in from the board's edge.
    """
    if is_on_back(section, reach):
        return cleat_line(section)
    over = section.reveal + section.flat
    in_from_edge = max(Fraction(0), reach - section.fit / 2)
    if not section.bevel:
        return cleat_line(section)
    return float(over) + float(in_from_edge) / float(tangent(section.bevel))


def on_relief(section: Section, tilt: float, reach: float) -> float:
    """Return how high up its side a cleat meets the higher edge of a bottom that lies tilted by
    `tilt`, in radians, where the cleat reaches `reach` inches off that side; inches.

    From the show face's edge the board goes up by the flat, square to the face, then in by its
    relief to the back's corner, and falls from there. The corner is (relief cos + bt sin) off the
    side and bt cos - relief sin over the show face's edge; if that is farther off than the cleat
    reaches, the cleat meets the slope of the relief as far out as it does reach. The board reaches
    off the side by half its clearance, measured along the show face.
    """
    cosine, sine = math.cos(tilt), math.sin(tilt)
    thick, flat = float(section.bottom_thickness), float(section.flat)
    relief, reveal = float(relief_per_edge(section)), float(section.reveal)
    corner = (relief * cosine + thick * sine, reveal + thick * cosine - relief * sine)
    edge = (flat * sine, reveal + flat * cosine)
    if corner[0] <= reach:
        return max(corner[1], edge[1])
    off, down = float(section.fit) / 2 * cosine, float(section.fit) / 2 * sine
    part = (reach - off - edge[0]) / (corner[0] - edge[0])
    return max(edge[1], min(corner[1], edge[1] + (corner[1] - edge[1]) * part - down))


def with_height(section: Section, height: Fraction) -> Section:
    """Return the same section with sides of another rough width."""
    return section._replace(height=height)

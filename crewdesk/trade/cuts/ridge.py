"""A beam along a ridge: two sides under two slopes, whose heights need not be equal."""

from dataclasses import dataclass
from fractions import Fraction

from crewdesk.errors import BadInput
from crewdesk.length import Length, exact
from crewdesk.trade.angle import arctangent
from crewdesk.trade.bounds import more_than_zero
from crewdesk.trade.cuts.board_end import EdgeProfile
from crewdesk.trade.cuts.pitch import Pitch, square_root
from crewdesk.trade.cuts.section import Section, relief_per_edge
from crewdesk.trade.cuts.side_board import Side


@dataclass(frozen=True)
class RidgeSide:
    """One side in inches: `show_height` at its show face, `back_height` at its back,
    which is the height to rip to; `bevel_deg` the tilt of its top edge."""

    show_height: Length
    back_height: Length
    bevel_deg: float


@dataclass(frozen=True)
class RidgeBeam:
    """A beam along a ridge, in inches.

    `uneven` is how much higher side A's show face is than side B's, `bottom_out` how much
    lower side A's bottom edge hangs than side B's, `bottom_tilt_deg` the bottom board's
    tilt by it, measured between the sides' inner faces (positive with edge A lower), and
    `bottom_width` the distance between those faces along that tilt.
    """

    side_a: RidgeSide
    side_b: RidgeSide
    uneven: Length
    bottom_out: Fraction
    bottom_tilt_deg: float
    bottom_width: Length


@dataclass(frozen=True)
class RidgeBottom:
    """The bottom board between the sides, in inches.

    `slant` is the distance between the sides' inner faces along its tilt, `lost` the width that its
    flat takes of it, and `width` the width to rip at its show face, after `fit` too. `back_width`
    is that of its back. `lower` is the side toward which it tilts down, None if it is level.
    """

    slant: Length
    lost: Length
    fit: Fraction
    width: Length
    back_width: Length
    lower: Side | None


def ridge_bottom(section: Section, ridge: RidgeBeam) -> RidgeBottom:
    """Return the bottom board of a beam along a ridge.

    Tilted by an angle of tangent m = (difference of the drops) / (distance between the inner
    faces), the board's edge on the lower side leans into that side's face: its flat, square to
    its own face, by m x flat, its back by m x thickness less the relief. It loses the more of
    the two in width, and the section's fit.

    Raises `BadInput`.
    """
    profile = EdgeProfile(section.bottom_thickness, section.flat, section.bevel)
    lean = abs(ridge.bottom_out) / (section.width - 2 * section.side_thickness)
    lost = profile.need(lean)
    width = ridge.bottom_width - section.fit - lost
    back = width - 2 * relief_per_edge(section)
    if back <= 0:
        raise BadInput(
            "A bottom board {width} in wide is too narrow for its relief bevels. Use a "
            "wider flat or a smaller bevel.",
            width=exact(width),
        )
    lower: Side | None = None
    if ridge.bottom_out:
        lower = "A" if ridge.bottom_out > 0 else "B"
    return RidgeBottom(ridge.bottom_width, lost, section.fit, width, back, lower)


def ridge_beam(
    width: Fraction,
    drop_a: Fraction,
    drop_b: Fraction,
    pitch_a: Pitch,
    pitch_b: Pitch,
    *,
    off_centre: Fraction = Fraction(0),
    side_thickness: Fraction = Fraction(3, 4),
) -> RidgeBeam:
    """Return the sides of a beam `width` inches wide over its outside, under a ridge.

    `drop_a` and `drop_b` are measured plumb from the ridge's point down to each bottom edge; equal
    drops give a level bottom. `off_centre` is how far the beam's middle stands from the ridge
    toward side A (negative: toward side B). The ceiling falls by distance x tan(slope), so a show
    face at distance d is drop - d x tan high and its back, nearer to the ridge by the thickness,
    thickness x tan higher.

    Raises `BadInput`.
    """
    for name, value in (
        ("width", width),
        ("drop", min(drop_a, drop_b)),
        ("side thickness", side_thickness),
    ):
        more_than_zero(f"ridge beam's {name}", value)
    if width <= 2 * side_thickness:
        raise BadInput(
            "A ridge beam {width} in wide has no room: its sides take {taken} in.",
            width=width,
            taken=2 * side_thickness,
        )
    half = width / 2
    if abs(off_centre) > half - side_thickness:
        raise BadInput(
            "The ridge is {off} in off the beam's middle; both sides are "
            "under it only up to {limit} in.",
            off=abs(off_centre),
            limit=half - side_thickness,
        )
    side_a = _side("A", drop_a, half + off_centre, pitch_a, side_thickness)
    side_b = _side("B", drop_b, half - off_centre, pitch_b, side_thickness)
    between = width - 2 * side_thickness
    tilt = (drop_a - drop_b) / between
    return RidgeBeam(
        side_a,
        side_b,
        side_a.show_height - side_b.show_height,
        drop_a - drop_b,
        arctangent(tilt),
        between * square_root(1 + tilt * tilt),
    )


def _side(
    name: str, drop: Fraction, distance: Fraction, pitch: Pitch, thickness: Fraction
) -> RidgeSide:
    fall = distance * pitch.tangent
    show = drop - fall
    if show <= 0:
        raise BadInput(
            "Side {side} has no width left: the ceiling falls {fall} in to it and the "
            "drop from the ridge is {drop} in.",
            side=name,
            drop=drop,
            fall=exact(fall),
        )
    return RidgeSide(show, show + thickness * pitch.tangent, pitch.degrees)

"""A beam along a ridge: two sides under two slopes, whose heights need not be equal."""

from dataclasses import dataclass
from fractions import Fraction

from crewdesk.trade.angle import arctangent
from crewdesk.trade.cuts.pitch import Pitch, square_root
from crewdesk.trade.length import Length, exact
from crewdesk.trade.refusal import Refusal


@dataclass(frozen=True)
class RidgeSide:
    """One side in inches: `show_height` at its show face, `back_height` at its back,
    which is the height to rip to; `bevel_deg` the tilt of its top edge."""

    show_height: Length
    back_height: Length
    bevel_deg: float


@dataclass(frozen=True)
class RidgeBeam:
    """Both sides, in inches.

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
    """The sides of a beam `width` inches wide over its outside, under a ridge.

    `drop_a` and `drop_b` are measured plumb from the ridge's point down to each bottom
    edge; equal drops give a level bottom. `off_centre` is how far the beam's middle
    stands from the ridge towards side A (negative: towards side B). The ceiling falls
    by distance x tan(slope), so a show face at distance d is drop - d x tan high and
    its back, nearer to the ridge by the thickness, thickness x tan higher.

    Raises `Refusal`: `ridge-not-positive`, `ridge-no-room`, `ridge-off-the-beam`,
    `ridge-drop-too-small`.
    """
    for name, value in (
        ("width", width),
        ("drop", min(drop_a, drop_b)),
        ("side thickness", side_thickness),
    ):
        if value <= 0:
            raise Refusal("ridge-not-positive", name=name, value=value)
    if width <= 2 * side_thickness:
        raise Refusal("ridge-no-room", width=width, taken=2 * side_thickness)
    half = width / 2
    if abs(off_centre) > half - side_thickness:
        raise Refusal("ridge-off-the-beam", off=abs(off_centre), limit=half - side_thickness)
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
        raise Refusal("ridge-drop-too-small", side=name, drop=drop, fall=exact(fall))
    return RidgeSide(show, show + thickness * pitch.tangent, pitch.degrees)

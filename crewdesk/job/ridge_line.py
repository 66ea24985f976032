"""Whether the ridge over a beam along it is level, and how it is said where it isn't."""

from fractions import Fraction

from crewdesk.job.beam import Beam
from crewdesk.length import exact, mixed
from crewdesk.trade.cuts.pitch import PER_FOOT, Pitch

_CHOSEN_RISE = 16
"""A pitch in up to sixteenths in 12 was given as one, not in degrees."""


def falls(beam: Beam) -> bool:
    """Whether a beam along a ridge falls with it from one end to the other."""
    return beam.form.id == "ridge" and beam.ceiling == "sloped" and beam.pitch is not None


def rise_in_12(pitch: Pitch) -> Fraction | None:
    """Return a pitch as inches in 12, None where it was given in degrees."""
    rise = exact(pitch.tangent) * PER_FOOT
    return rise if rise.denominator <= _CHOSEN_RISE else None


def ridge_falls(beam: Beam) -> str:
    """Return what a ridge that falls means for its beam, in a sentence; "" for other beams."""
    if not falls(beam):
        return ""
    assert beam.pitch is not None
    rise = rise_in_12(beam.pitch)
    steep = f"{beam.pitch.degrees:.2f}\u00b0" if rise is None else f"{mixed(rise)} in {PER_FOOT}"
    return (
        f"{beam.label}: its ridge falls {steep} along the beam; its sides are measured along "
        "that slope."
    )

"""Format lengths, angles and scales for JSON, printed lines and drawings."""

from fractions import Fraction

from crewdesk.length import (
    DEFAULT_STEP,
    INCHES_PER_FOOT,
    MM_PER_INCH,
    Length,
    Step,
    Way,
    exact,
    exact_text,
    feet_and_inches,
    mixed,
    show_at_most,
    show_length,
)
from crewdesk.trade.cuts.pitch import PER_FOOT, Pitch

_CHOSEN_RISE = 16
"""A pitch in up to sixteenths in 12 was given as one, not in degrees."""


def length_json(value: Length, step: Step = DEFAULT_STEP, way: Way = "near") -> dict[str, str]:
    """Return ``{"exact": "587/4", "shown": "146 3/4"}``, in inches; shown rounded to the nearest
    step, or down or up to one."""
    return {"exact": exact_text(value), "shown": show_length(value, step, way=way)}


def lengths_json(
    one: object, step: Step, *names: str, way: Way = "near"
) -> dict[str, dict[str, str] | None]:
    """Return a value's lengths by name, as `length_json`, rounded that way; None for an unknown
    one. ``"slack=room"`` names the attribute `room` `slack`."""
    found: dict[str, dict[str, str] | None] = {}
    for name in names:
        key, _, attribute = name.partition("=")
        value = getattr(one, attribute or key)
        found[key] = None if value is None else length_json(value, step, way)
    return found


def with_unit(value: Length, step: Step = DEFAULT_STEP, way: Way = "near") -> str:
    """Return ``146 3/4 in``, or ``3727 mm`` in a job in millimeters: rounded to the nearest step,
    or down or up to one."""
    shown = show_length(value, step, way=way)
    return shown if step.mm else f"{shown} in"


def with_unit_at_most(value: Length, step: Step) -> str:
    """Return ``146 3/4 in`` for a length that must never be exceeded: rounded down."""
    shown = show_at_most(value, step)
    return shown if step.mm else f"{shown} in"


def board_length(length: Fraction) -> str:
    """Return a board's length as sold: ``18'``, ``9' 10"``."""
    return feet_and_inches(length).removesuffix(' 0"')


def feet(length: Fraction) -> str:
    """Return inches as feet, to the nearest tenth."""
    return f"{float(length / INCHES_PER_FOOT):.1f} ft"


def degrees_shown(angle: float) -> str:
    """Return an angle to the nearest hundredth of a degree, ties to even."""
    return f"{angle:.2f}\u00b0"


def rise_in_12(pitch: Pitch) -> Fraction | None:
    """Return a pitch as inches in 12, None where it was given in degrees."""
    rise = exact(pitch.tangent) * PER_FOOT
    return rise if rise.denominator <= _CHOSEN_RISE else None


def steepness(pitch: Pitch) -> str:
    """Return a pitch in brief: ``4/12``, or ``18.43\u00b0`` where it was given in degrees."""
    rise = rise_in_12(pitch)
    return degrees_shown(pitch.degrees) if rise is None else f"{mixed(rise)}/{PER_FOOT}"


READ_THE_SQUARE = "measure the walls with the square to know the slant"
"""The text on a board with different edges while no square shows which end has the slant."""


def cell_scales(along: float, up: float, step: Step, *, across: str = "wide") -> tuple[str, ...]:
    """Return the scales of a character drawing, from the longest text to the shortest.

    along, up: inches for one column and one row. across: what the rows show, "wide" or "high".
    """
    column, row = _rough(along, step), _rough(up, step)
    return (
        f"1 column = {column} long, 1 row = {row} {across}",
        f"1 col = {column} long, 1 row = {row} {across}",
        f"1 col = {column}, 1 row = {row}",
    )


def true_cell_scale(up: float, step: Step) -> str:
    """Return the scale of a true-to-scale character drawing, where a cell is twice as high as wide;
    up: inches for one row."""
    return f"to scale: 1 row = 2 columns = {_rough(up, step)}"


def enlarged(what: str, times: int) -> str:
    """Return how many times enlarged a drawing is, or "" if it is true to scale."""
    return f"{what} drawn {times} x" if times > 1 else ""


def _rough(inches: float, step: Step) -> str:
    """Return a length to three digits: 1.52 in, 38.6 mm."""
    if step.mm:
        return f"{inches * float(MM_PER_INCH):.3g} mm"
    return f"{inches:.3g} in"

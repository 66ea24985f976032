"""Lengths, angles and scales as they stand in JSON, in printed lines and beside drawings."""

from fractions import Fraction

from crewdesk.length import (
    DEFAULT_STEP,
    INCHES_PER_FOOT,
    MM_PER_INCH,
    Length,
    Step,
    Way,
    exact_text,
    feet_and_inches,
    show_at_most,
    show_length,
)


def length_json(value: Length, step: Step = DEFAULT_STEP, way: Way = "near") -> dict[str, str]:
    """``{"exact": "587/4", "shown": "146 3/4"}``, in inches; shown rounded to the nearest step,
    or down or up to one."""
    return {"exact": exact_text(value), "shown": show_length(value, step, way=way)}


def lengths_json(
    one: object, step: Step, *names: str, way: Way = "near"
) -> dict[str, dict[str, str] | None]:
    """Return lengths of a value by their names as `length_json` has them, rounded that way; or None
    if one is not known. ``"slack=room"`` gives the attribute `room` the name `slack`."""
    found: dict[str, dict[str, str] | None] = {}
    for name in names:
        key, _, attribute = name.partition("=")
        value = getattr(one, attribute or key)
        found[key] = None if value is None else length_json(value, step, way)
    return found


def with_unit(value: Length, step: Step = DEFAULT_STEP, way: Way = "near") -> str:
    """``146 3/4 in``, or ``3727 mm`` where lengths are shown in millimeters: rounded to the
    nearest step, or down or up to one."""
    shown = show_length(value, step, way=way)
    return shown if step.mm else f"{shown} in"


def with_unit_at_most(value: Length, step: Step) -> str:
    """``146 3/4 in`` for a length that must never be cut over: rounded down."""
    shown = show_at_most(value, step)
    return shown if step.mm else f"{shown} in"


def board_length(length: Fraction) -> str:
    """A board's length as it is sold: ``18'``, ``9' 10"``."""
    return feet_and_inches(length).removesuffix(' 0"')


def feet(length: Fraction) -> str:
    """Inches as feet to the nearest tenth."""
    return f"{float(length / INCHES_PER_FOOT):.1f} ft"


def degrees_shown(angle: float) -> str:
    """An angle to the nearest hundredth of a degree, a tie to even."""
    return f"{angle:.2f}\u00b0"


READ_THE_SQUARE = "measure the walls with the square to know the slant"
"""Shown on a board whose edges differ while no square says which end has the slant."""


def cell_scales(along: float, up: float, step: Step, *, across: str = "wide") -> tuple[str, ...]:
    """The scales of a drawing made of characters, from the fullest text to the shortest.

    along, up: inches that one column and one row show; across: what the rows show, "wide"
    or "high".
    """
    column, row = _rough(along, step), _rough(up, step)
    return (
        f"1 column = {column} long, 1 row = {row} {across}",
        f"1 col = {column} long, 1 row = {row} {across}",
        f"1 col = {column}, 1 row = {row}",
    )


def true_cell_scale(up: float, step: Step) -> str:
    """The scale of a drawing made of characters that is as high as it is wide, where a cell
    is twice as high as it is wide; up: inches that one row shows."""
    return f"to scale: 1 row = 2 columns = {_rough(up, step)}"


def enlarged(what: str, times: int) -> str:
    """How many times larger than true something is drawn, or "" if it is drawn true."""
    return f"{what} drawn {times} x" if times > 1 else ""


def _rough(inches: float, step: Step) -> str:
    """A length to three digits: 1.52 in, 38.6 mm."""
    if step.mm:
        return f"{inches * float(MM_PER_INCH):.3g} mm"
    return f"{inches:.3g} in"

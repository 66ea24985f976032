"""Lengths and angles as they stand in JSON and in printed lines."""

from fractions import Fraction

from crewdesk.length import (
    DEFAULT_STEP,
    INCHES_PER_FOOT,
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
    """Return lengths of a value by their names as `length_json` has them, rounded that way; None
    where one is not known. ``"slack=room"`` gives the attribute `room` the name `slack`."""
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

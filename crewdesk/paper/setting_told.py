"""A machine's setting in words."""

from fractions import Fraction

from crewdesk.job.machine import DEGREES, STOP
from crewdesk.paper.lengths import degrees_shown, with_unit, with_unit_at_most
from crewdesk.trade.cuts.settings import Setting
from crewdesk.trade.length import Step, mixed

_SHOWN_EXACTLY = 8
"""A blade's tilt in up to eighths of a degree is one that was chosen, not reckoned."""


def setting_parts(setting: Setting, step: Step) -> list[tuple[str, str]]:
    """Each part of a setting with its figure: lengths to the nearest step, but a bottom
    board's stop to the step below, for it must never be cut over; a tilt that follows from
    a slope to the nearest hundredth of a degree."""

    def told(part: str, value: Fraction) -> str:
        if part in DEGREES:
            exact = value.denominator <= _SHOWN_EXACTLY
            return f"{mixed(value)}\u00b0" if exact else degrees_shown(float(value))
        return (with_unit_at_most if part == STOP else with_unit)(value, step)

    return [(part, told(part, value)) for part, value in setting]


def setting_told(machine: str, setting: Setting, step: Step) -> str:
    """``table saw, tilted: blade tilt 15°, fence 6 1/2 in``, see `setting_parts`."""
    if not machine:
        return "No setting to make"
    parts = (f"{part} {figure}" for part, figure in setting_parts(setting, step))
    return f"{machine}: {', '.join(parts)}"

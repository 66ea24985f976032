"""A machine's setting in words."""

from fractions import Fraction

from crewdesk.job.machine import DEGREES, STOP
from crewdesk.paper.lengths import with_unit, with_unit_at_most
from crewdesk.trade.cuts.settings import Setting
from crewdesk.trade.length import Step, mixed


def setting_told(machine: str, setting: Setting, step: Step) -> str:
    """``table saw, tilted: blade tilt 15°, fence 6 1/2 in``; lengths to the nearest step,
    but a bottom board's stop to the step below, for it must never be cut over."""
    if not machine:
        return "No setting to make"

    def told(part: str, value: Fraction) -> str:
        if part in DEGREES:
            return f"{part} {mixed(value)}\u00b0"
        return f"{part} {(with_unit_at_most if part == STOP else with_unit)(value, step)}"

    parts = (told(part, value) for part, value in setting)
    return f"{machine}: {', '.join(parts)}"

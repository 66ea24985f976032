"""A machine's setting in words."""

from crewdesk.job.machine import DEGREES
from crewdesk.paper.lengths import with_unit
from crewdesk.trade.cuts.settings import Setting
from crewdesk.trade.length import Step, mixed


def setting_told(machine: str, setting: Setting, step: Step) -> str:
    """``table saw, tilted: blade tilt 15°, fence 6 1/2 in``; lengths to the nearest step."""
    if not machine:
        return "No setting to make"
    parts = (
        f"{part} {mixed(value)}\u00b0" if part in DEGREES else f"{part} {with_unit(value, step)}"
        for part, value in setting
    )
    return f"{machine}: {', '.join(parts)}"

"""How far the marks of a side can be off, in lines."""

from crewdesk.job.sentences import sentence
from crewdesk.trade.cuts.sureness import SideSureness
from crewdesk.trade.length import SIXTY_FOURTH, mixed, rounded_up


def sure_line(sure: SideSureness) -> str:
    """By how much each mark can be off at worst, to the next 1/64 in up."""
    named = (
        ("bottom", sure.bottom_length),
        ("top", sure.top_length),
        ("end 1", sure.end1),
        ("end 2", sure.end2),
    )
    told = ", ".join(f"{name} {mixed(rounded_up(off, SIXTY_FOURTH))}" for name, off in named)
    return f"off by at most, in: {told}"


def sure_cautions(sure: SideSureness) -> list[str]:
    """What would make the marks surer, a sentence each."""
    return [sentence(one) for one in sure.cautions]

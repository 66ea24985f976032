"""Gaps found at the fix-up, in lines and as JSON."""

from typing import Any

from crewdesk.job.beams.piece import Gap
from crewdesk.length import Step
from crewdesk.paper.lengths import length_json, with_unit
from crewdesk.paper.plain import plain

NAME = {"ceiling": "the ceiling", "bottom": "the joint with the bottom"}


def gap_line(gap: Gap, step: Step) -> str:
    """A gap in one line: how wide, where, why, and its cure."""
    cause = f", {plain(gap.cause)}" if gap.cause else ""
    return f"gap {with_unit(gap.width, step)} at {NAME.get(gap.where, gap.where)}{cause}: " + (
        wedge_told(gap, step) if gap.cure == "wedge" else "caulk"
    )


def wedge_told(gap: Gap, step: Step) -> str:
    """The wedge for a gap: how it is ripped and how deep it seats; raises `BadInput`."""
    made = gap.wedge
    if made is None or made.seats_at is None:
        return ""
    return (
        f"wedge of {with_unit(gap.stock, step)} ripped at {float(gap.bevel):g}\u00b0, "
        f"back {with_unit(made.back_thickness, step)}, seats {with_unit(made.seats_at, step)} deep"
    )


def gap_cautions_told(gap: Gap, step: Step) -> list[str]:
    """What it must be told with, a sentence each."""
    return [one.shown(step) for one in gap.cautions]


def gap_values(gap: Gap, step: Step) -> dict[str, Any]:
    """A gap as JSON; the wedge is null where it is not the cure."""
    made = gap.wedge
    wedge = None
    if made is not None and made.seats_at is not None:
        wedge = {
            "stock": length_json(gap.stock, step),
            "bevel_deg": float(gap.bevel),
            "included_deg": float(made.included_deg),
            "back_thickness": length_json(made.back_thickness, step),
            "seats_at": length_json(made.seats_at, step),
        }
    return {
        "width": length_json(gap.width, step),
        "where": gap.where,
        "cause": gap.cause,
        "cure": gap.cure,
        "when": gap.when.isoformat(),
        "wedge": wedge,
        "cautions": gap_cautions_told(gap, step),
    }

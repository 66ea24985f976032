"""How each side of a beam is cut to its scribe line, and why."""

from collections.abc import Mapping
from fractions import Fraction
from typing import Literal, NamedTuple

from crewdesk.errors import BadInput
from crewdesk.job.beams.beam import Beam
from crewdesk.job.beams.piece import Piece
from crewdesk.job.cuts.cut import SAW_TILTS_AT_MOST, in_words, too_steep
from crewdesk.job.cuts.marks import known_length
from crewdesk.job.cuts.scribing import scribe_of, scribed_with_tool
from crewdesk.length import Step
from crewdesk.trade.cuts.shop_machine import (
    PLANE_AT_MOST,
    STRAIGHT,
    TABLE_SAW_AT_MOST,
    ShopMachine,
    Way,
    Why,
    bend,
    way_to_cut,
)

CUT_SCRIBE = "cut-scribe"
"""The step that cuts a side to its scribe line."""


class ScribeCut(NamedTuple):
    """How a side is cut to its scribe line, and why: it was cut that way ("as cut"), the user
    chose it for the board ("board") or for every board ("every board"), or the board and its
    ceiling make it so ("rule")."""

    way: Way
    chosen: Literal["as cut", "board", "every board", "rule"]
    why: str


def scribe_cut_of(beam: Beam, piece: Piece, machine: ShopMachine, step: Step) -> ScribeCut:
    """Return how a side is cut to its scribe line: as it was cut, if known; planed if the bevel is
    steeper than a saw tilts. Raises `BadInput` if the ceiling's readings make no scribe."""
    mark = piece.steps.get(CUT_SCRIBE)
    if mark is not None and mark.state == "done" and mark.cut is not None and mark.cut.way:
        return ScribeCut(mark.cut.way, "as cut", "already cut that way")
    made, blade = _way_of(beam, piece, machine, step), line_blade(beam, piece, machine)
    if made.way == "plane" or blade <= SAW_TILTS_AT_MOST:
        return made
    steep = too_steep(blade).removesuffix(".")
    return ScribeCut("plane", "rule", f"{steep}; the {made.way} can't cut it")


def _way_of(beam: Beam, piece: Piece, machine: ShopMachine, step: Step) -> ScribeCut:
    if (own := piece.scribe_cut) is not None:
        reason = f": {own.reason}" if own.reason else ""
        return ScribeCut(own.way, "board", f"chosen for this board{reason}")
    if machine.scribe_cut is not None:
        return ScribeCut(
            machine.scribe_cut, "every board", "chosen for every board in Business settings"
        )
    made = scribe_of(beam)
    drawn = () if made is None else scribed_with_tool(beam, made, machine.scribers).marks
    marks_of = [one for one in drawn if one.side == piece.key]
    deepest = max((one.cut_depth for one in marks_of), default=None)
    bent = bend([(one.at, one.finished_height) for one in marks_of]) if marks_of else None
    found = way_to_cut(known_length(beam, piece), deepest, bent)
    return ScribeCut(found.way, "rule", _reason(found.why, step))


def scribe_cut_known(
    beam: Beam, piece: Piece, machine: ShopMachine, step: Step
) -> ScribeCut | None:
    """Return how a side is cut to its scribe line; None if it isn't scribed, or depends on a
    ceiling that isn't measured or makes no scribe."""
    if piece.kind != "side" or "ceiling" not in piece.traits:
        return None
    if beam.pair.ceiling is None and piece.scribe_cut is None and machine.scribe_cut is None:
        return None
    try:
        return scribe_cut_of(beam, piece, machine, step)
    except BadInput:
        return None


def _reason(why: Why, step: Step) -> str:
    straight, short = in_words(STRAIGHT, step), in_words(TABLE_SAW_AT_MOST, step)
    reasons: Mapping[Why, str] = {
        "shallow": f"no more than {in_words(PLANE_AT_MOST, step)} comes off anywhere",
        "not known": "the ceiling is not measured, so the line may bend",
        "bent": f"the ceiling bends the line by more than {straight}",
        "straight and short": f"straight within {straight}, board no longer than {short}",
        "straight and long": f"straight within {straight}, board may be longer than {short}",
    }
    return reasons[why]


def ridge_slope(beam: Beam, piece: Piece) -> Fraction:
    """Return the bevel of a side's top edge along a ridge, in degrees, else 0."""
    return beam.boards[piece.key].second_blade if beam.form.id == "ridge" else Fraction(0)


def line_blade(beam: Beam, piece: Piece, machine: ShopMachine) -> Fraction:
    """Return the bevel of a side's cut to its line, in degrees off square."""
    return abs(ridge_slope(beam, piece) - machine.back_cut)

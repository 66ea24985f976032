"""Where boards are spliced, in lines that draw the boards of a beam to scale, and as JSON."""

from collections.abc import Iterable
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from crewdesk.job.lumber.spliced import Spliced, spliced
from crewdesk.job.piece import NAME_OF
from crewdesk.job.record import Record
from crewdesk.paper.lengths import length_json, with_unit
from crewdesk.paper.plain import plain
from crewdesk.trade.length import Step

if TYPE_CHECKING:
    from crewdesk.job.lumber.board import Board

SIGN = {"scarf": "/"}
"""How a splice is drawn; any but a scarf is square across."""
SQUARE = "|"
_LEAST = 12


def splice_told(one: Spliced, step: Step) -> str:
    """Which joint, and where its middle is along the blank."""
    places = ", ".join(with_unit(place, step) for place in one.places)
    return f"{one.joint} at {places} from end 1"


def splice_lines(record: Record, boards: "Iterable[Board]", columns: int) -> list[str]:
    """For each beam with a splice its boards under one another, so that it is seen how far
    each splice is from its partner's; the longest takes `columns`."""
    every = list(boards)
    found = {(one.row, one.piece): one for one in spliced(record, every)}
    whole = {(one.beam, one.piece): one.length for b in every for one in b.pieces if one.parts == 1}
    lines = []
    for row in dict.fromkeys(row for row, _ in found):
        beam = record.beam(row)
        lines.append(plain(beam.label))
        lengths = {
            key: found[row, key].length if (row, key) in found else whole.get((row, key))
            for key in beam.boards
        }
        longest = max(length for length in lengths.values() if length is not None)
        for key, length in lengths.items():
            if length is None:
                continue
            one = found.get((row, key))
            told = "" if one is None else f"  {splice_told(one, record.job.step)}"
            lines.append(f"  {NAME_OF[key]:<8}{_bar(one, length, longest, columns)}{told}")
    return lines


def _bar(one: Spliced | None, length: Fraction, longest: Fraction, columns: int) -> str:
    wide = max(_LEAST, round(length * columns / longest))
    signs = [SQUARE, *"=" * (wide - 2), SQUARE]
    for place in () if one is None else one.places:
        signs[round(place * (wide - 1) / length)] = SIGN.get(one.joint if one else "", SQUARE)
    return "".join(signs)


def splices_json(record: Record, boards: "Iterable[Board]") -> list[dict[str, Any]]:
    """Every spliced piece."""
    step = record.job.step
    return [
        {"name": f"{record.beam(one.row).label} {one.name}", **splice_json(one, step)}
        for one in spliced(record, boards)
    ]


def splice_json(one: Spliced, step: Step) -> dict[str, Any]:
    """Where one piece is spliced, and how."""
    return {"places": [length_json(place, step) for place in one.places], "joint": one.joint}

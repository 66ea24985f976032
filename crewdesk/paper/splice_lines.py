"""Where boards are spliced, in lines that draw the boards of a beam to scale, and as JSON."""

from collections.abc import Iterable
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from crewdesk.job.beams.piece import NAME_OF
from crewdesk.job.lumber.spliced import Spliced, spliced, start_of
from crewdesk.job.record import Record
from crewdesk.length import Step
from crewdesk.paper.lengths import length_json, with_unit
from crewdesk.paper.plain import plain

if TYPE_CHECKING:
    from crewdesk.job.lumber.board import Board

SIGN = {"scarf": "/"}
"""How a splice is drawn; any but a scarf is square across."""
SQUARE = "|"
_LEAST = 12


def splice_text(one: Spliced, step: Step) -> str:
    """Which joint, and where its middle is along the blank."""
    places = ", ".join(with_unit(place, step) for place in one.places)
    return f"{one.joint} at {places} from end 1"


def splice_lines(record: Record, boards: "Iterable[Board]", columns: int) -> list[str]:
    """For each beam with a splice its boards under one another as they hang, so that it is
    seen how far each splice is from the others; all of them together take `columns`."""
    from crewdesk.job.lumber.blanks import boards_to_cut  # only where a board is spliced

    every = list(boards)
    found = {(one.row, one.piece): one for one in spliced(record, every)}
    whole = {(one.beam, one.piece): one.length for b in every for one in b.pieces if one.parts == 1}
    lines = []
    for row in dict.fromkeys(row for row, _ in found):
        beam = record.beam(row)
        lines.append(plain(beam.label))
        lies: dict[str, tuple[Fraction, Fraction]] = {}
        for key in boards_to_cut(beam):
            one = found.get((row, key))
            length = whole.get((row, key)) if one is None else one.length
            if length is not None:
                start = start_of(record, row, key) if one is None else one.start
                lies[key] = (start, start + length)
        first = min(start for start, _ in lies.values())
        inches = max(end for _, end in lies.values()) - first
        for key, (start, end) in lies.items():
            one = found.get((row, key))
            told = "" if one is None else f"  {splice_text(one, record.job.step)}"
            before = " " * round((start - first) * columns / inches)
            bar = _bar(one, end - start, inches, columns)
            lines.append(f"  {NAME_OF[key]:<8}{before}{bar}{told}")
    return lines


def _bar(one: Spliced | None, length: Fraction, inches: Fraction, columns: int) -> str:
    wide = max(_LEAST, round(length * columns / inches))
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
    """Where one piece is spliced, from end 1 of its blank and along the hanging beam, and how."""
    return {
        "places": [length_json(place, step) for place in one.places],
        "along": [length_json(place, step) for place in one.along],
        "joint": one.joint,
    }

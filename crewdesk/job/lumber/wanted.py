"""The pieces that a job's beams want, each with its length, as exact as it is known."""

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction

from crewdesk.errors import NotAllowed
from crewdesk.job.beams.beam import Beam
from crewdesk.job.cuts.as_built import cleat_height
from crewdesk.job.lumber.blanks import (
    Blank,
    blank_of,
    boards_to_cut,
    middle_of,
    up,
    width_to_rip,
)
from crewdesk.job.lumber.cutting_rules import CuttingRules
from crewdesk.job.record import Record
from crewdesk.job.time.logged import piece_length
from crewdesk.trade.boards.splices import Along, splice


@dataclass(frozen=True)
class Wanted:
    """One board to cut, in inches: `part` of `parts` counts from 1; `exact` where its length
    follows from readings alone, not from a rough length."""

    beam: str
    piece: str
    part: int
    parts: int
    label: str
    width: Fraction
    length: Fraction
    thickness: Fraction
    exact: bool

    @property
    def key(self) -> tuple[str, str, int, int]:
        """What says which piece it is."""
        return (self.beam, self.piece, self.part, self.parts)


@dataclass(frozen=True)
class CleatsWanted:
    """`length` inches of cleats in all, out of boards `thickness` thick."""

    thickness: Fraction
    length: Fraction


def wanted_pieces(
    record: Record, rules: CuttingRules, longest: Callable[[Fraction, Fraction], Fraction | None]
) -> tuple[Wanted, ...]:
    """Return every board of every beam but the cleats, spliced where no stock is long enough.

    `longest` gives, for a thickness and a width, what the longest stock gives, if any.
    Raises `NotAllowed` where a beam has no length or there is no board to cut, `BadInput` as
    `splice`.
    """
    if not record.beams:
        raise NotAllowed("This job has no beam to buy boards for. Add one.")
    blanks = {
        (beam.row, key): blank_of(beam, beam.pieces[key], rules)
        for beam in record.beams
        for key in boards_to_cut(beam)
    }
    if not blanks:
        raise NotAllowed(
            "No beam of this job has a side, bottom or top to buy boards for. Add a beam."
        )
    unknown = [
        beam.label
        for beam in record.beams
        if any(blanks[beam.row, key] is None for key in boards_to_cut(beam))
    ]
    if unknown:
        names = ", ".join(unknown[:4]) + (" and others" if len(unknown) > 4 else "")
        raise NotAllowed(
            f"The length of {names} isn't known. Measure it wall to wall, or type a "
            "rough length first."
        )
    found: list[Wanted] = []
    for beam in record.beams:
        splices: tuple[Fraction, ...] = ()
        for key in boards_to_cut(beam):
            blank = blanks[beam.row, key]
            assert blank is not None
            made, places = _parts(beam, key, blank, rules, longest, splices)
            found += made
            splices += places
    return tuple(found)


def _parts(
    beam: Beam,
    key: str,
    blank: Blank,
    rules: CuttingRules,
    longest: Callable[[Fraction, Fraction], Fraction | None],
    partner: tuple[Fraction, ...],
) -> tuple[list[Wanted], tuple[Fraction, ...]]:
    """The parts of one board, and its splices along the hanging beam; `partner` are those
    of the beam's other boards."""
    board = boards_to_cut(beam)[key]
    label, width = f"{beam.label} {beam.pieces[key].name}", width_to_rip(board)
    most = longest(board.thickness, width) or blank.length
    along = Along(blank.start, middle_of(beam), blank.slants)
    rule = rules.splice_rule(board.thickness)
    made = splice(label, blank.length, most, rule, partner, along)
    parts = len(made.parts)
    found = [
        Wanted(
            beam.row,
            key,
            number,
            parts,
            label if parts == 1 else f"{label} part {number} of {parts}",
            width,
            part.length,
            board.thickness,
            blank.measured,
        )
        for number, part in enumerate(made.parts, 1)
    ]
    return found, tuple(blank.start + place for place in made.splices)


def wanted_cleats(record: Record, rules: CuttingRules) -> tuple[CleatsWanted, ...]:
    """Return two cleats for each beam that has them, as long as its sides, by thickness: a
    cleat is as high as its stock is thick, the sides' or what it was ripped from and kept."""
    found: dict[Fraction, Fraction] = {}
    for beam in record.beams:
        if "cleats" not in beam.pieces:
            continue
        sides = [one for one in beam.pieces.values() if one.kind == "side"]
        lengths = [_cleat_length(beam, one.key, rules) for one in sides]
        if len(lengths) == 1:
            lengths *= 2
        thickness = cleat_height(beam)
        found[thickness] = found.get(thickness, Fraction(0)) + sum(lengths, Fraction(0))
    return tuple(CleatsWanted(*pair) for pair in sorted(found.items()) if pair[1])


def _cleat_length(beam: Beam, key: str, rules: CuttingRules) -> Fraction:
    """A cleat's length as it is bought: its side's blank, or what is known of the side."""
    blank = blank_of(beam, beam.pieces[key], rules)
    if blank is not None and blank.measured:
        return blank.length
    return up(piece_length(beam, key) or Fraction(0))

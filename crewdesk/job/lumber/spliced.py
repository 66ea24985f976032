"""The splices of a beam's boards, from the boards that its parts are cut from."""

from collections.abc import Iterable
from fractions import Fraction
from typing import TYPE_CHECKING, NamedTuple

from crewdesk.job.beams.piece import NAME_OF
from crewdesk.job.cuts.as_built import board_as_cut

if TYPE_CHECKING:
    from crewdesk.job.lumber.takeoff import Board
    from crewdesk.job.record import Record


class Spliced(NamedTuple):
    """A piece in several parts, in inches. `places` are the middles of its splices from the end 1
    of its blank, which is `length` long and begins at `start` along the hanging beam; `joint` is
    "scarf", "butt" or, if the rule is no longer known, "splice"."""

    row: str
    piece: str
    name: str
    length: Fraction
    places: tuple[Fraction, ...]
    joint: str
    start: Fraction = Fraction(0)

    @property
    def along(self) -> tuple[Fraction, ...]:
        """The splices along the hanging beam, from side A's corner at end 1."""
        return tuple(self.start + place for place in self.places)


def spliced(record: "Record", boards: "Iterable[Board]") -> tuple[Spliced, ...]:
    """Return every piece in parts whose parts all have a board that is not ruined."""
    parts: dict[tuple[str, str, int], dict[int, Fraction]] = {}
    for board in boards:
        for one in board.pieces if board.state != "spoiled" else ():
            if one.parts > 1 and one.beam in record.tables.get("beams", {}):
                parts.setdefault((one.beam, one.piece, one.parts), {})[one.part] = one.length
    found = []
    for (row, piece, count), lengths in parts.items():
        beam = record.beam(row)
        if len(lengths) < count or piece not in beam.boards or piece not in beam.pieces:
            continue
        rule = record.job.cutting.splice_rule(board_as_cut(beam, piece).thickness)
        lap = Fraction(0) if rule is None else rule.overlap
        at, places = -lap / 2, []
        for number in range(1, count):
            at += lengths[number]
            places.append(at)
            at -= lap
        found.append(
            Spliced(row, piece, NAME_OF[piece], at + lengths[count] + lap / 2, tuple(places),
                    "splice" if rule is None else rule.joint, start_of(record, row, piece))
        )  # fmt: skip
    return tuple(sorted(found, key=lambda one: (int(one.row), one.piece)))


def start_of(record: "Record", row: str, piece: str) -> Fraction:
    """Return where a piece's blank begins along the hanging beam, in inches from side A's
    bottom corner at end 1."""
    from crewdesk.job.lumber.blanks import blank_of

    beam = record.beam(row)
    found = blank_of(beam, beam.pieces[piece], record.job.cutting)
    return Fraction(0) if found is None else found.start


def splices_of_piece(record: "Record", row: str, piece: str) -> Spliced | None:
    """Return how the kept plan splices one piece; None if it is whole."""
    boards = record.tables.get("boards", {}).values()
    if not any(one[2:4] != [1, 1] for doc in boards for one in doc["pieces"]):
        return None  # fast for most jobs, at every key press
    some = (one for one in spliced(record, record.boards) if (one.row, one.piece) == (row, piece))
    return next(some, None)

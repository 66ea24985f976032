"""Missing readings of a job, and the next one to take on a beam."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import NamedTuple

from crewdesk.job.beams.beam import Beam
from crewdesk.job.beams.ceiling import doubtful_ceiling
from crewdesk.job.beams.piece import Piece, Spot
from crewdesk.job.beams.plausibility import doubt
from crewdesk.job.beams.readings import BESIDE, NAMES, OPTIONAL, SQUARES
from crewdesk.job.cuts.bottoms import out_of_square, slant_unknown, unread_edge
from crewdesk.job.cuts.changed_cuts import held_cuts
from crewdesk.job.cuts.scribing import sides_read, sides_under, usual_places
from crewdesk.job.record import Record
from crewdesk.job.steps.gates import follows_runs, read_early, unread_ceiling
from crewdesk.job.steps.stages import CEILING, EDGES, OUT_OF_SQUARE, Need, Stages, Step
from crewdesk.trade.cuts.ceiling import Station
from crewdesk.trade.cuts.side_board import Side

HELD, TO_READ, DOUBTFUL, BLOCKED, LATER = "held", "to measure", "doubtful", "blocked", "later"
NO_SLANT = "the square at each wall: edge A and edge B differ"
SORTS = (HELD, TO_READ, DOUBTFUL, BLOCKED, LATER)


@dataclass(frozen=True)
class Missing:
    """What one piece lacks: one of `SORTS`, the names of the readings, and in `why` a sentence to
    show instead. "held" means that a cut needs an answer (see `changed_cuts`); "later" readings can
    only be taken after another step. A missing spot of the ceiling names no piece."""

    sort: str
    spot: Spot
    readings: tuple[str, ...] = ()
    why: str = ""


def missing(record: Record) -> tuple[Missing, ...]:
    """Return what each piece lacks for its remaining steps, by `SORTS`, then in the beams' order;
    ceilings come after the pieces' readings."""
    found = [
        one
        for beam in record.beams
        for piece in beam.pieces.values()
        for one in missing_of(record.stages, beam, piece)
    ]
    return tuple(sorted(found, key=lambda one: (SORTS.index(one.sort), not one.spot.piece)))


def missing_of(stages: Stages, beam: Beam, piece: Piece) -> Iterator[Missing]:
    """Return what one piece lacks."""
    spot = Spot(beam.row, piece.key)
    for cut in held_cuts(beam):
        if cut.spot == spot:
            yield Missing(HELD, spot, why=cut.brief)
    ceiling = False
    unread: dict[str, list[str]] = {TO_READ: [], LATER: []}
    for step in stages.steps_of(piece.kind, piece.traits):
        mark = piece.steps.get(step.id)
        if mark is not None and mark.behind:
            continue
        if mark is not None:
            yield Missing(BLOCKED, spot, why=f"{step.name}: {mark.reason}")
        waiting = {need.what for need in step.needs if _waits(stages, beam, piece, need)}
        waiting |= {one for what in waiting for one in BESIDE.get(what, ())}
        for need in step.needs:
            slants = need.sort == OUT_OF_SQUARE or follows_runs(piece, need)
            if slants and slant_unknown(beam, piece) is not None:
                yield Missing(TO_READ, spot, SQUARES, NO_SLANT)
            elif need.what == CEILING:
                first = next(one for one in beam.pieces.values() if _ahead(one, step))
                ceiling = first.key == piece.key
            elif _unread(beam, piece, need):
                sort = LATER if need.what in waiting else TO_READ
                unread[sort] += [need.what] if need.what not in unread[sort] else []
    for sort, names in unread.items():
        if names:
            yield Missing(sort, spot, tuple(names))
    for early in read_early(stages, beam, piece):
        again = f"{NAMES[early.what]}: measured too early, measure it again"
        yield Missing(LATER if early.waits else TO_READ, spot, (early.what,), again)
    if ceiling and unread_ceiling(beam) is not None:
        yield Missing(TO_READ, Spot(beam.row, ""), (CEILING,))
    elif ceiling and (doubtful := doubtful_ceiling(beam)) is not None:
        yield Missing(DOUBTFUL, Spot(beam.row, ""), (CEILING,), doubtful)
    for what in piece.takes:
        if (why := doubt(beam, piece, what)) is not None:
            yield Missing(DOUBTFUL, spot, (what,), why)


def _ahead(piece: Piece, step: Step) -> bool:
    """Return whether a step is one of the piece's and neither done nor skipped."""
    mark = piece.steps.get(step.id)
    return step.is_for(piece.kind, piece.traits) and not (mark is not None and mark.behind)


def _unread(beam: Beam, piece: Piece, need: Need) -> bool:
    """Return whether a need asks for a reading of this piece that is missing."""
    if need.sort == OUT_OF_SQUARE:
        return unread_edge(beam, piece, need.what) is not None
    of_others = need.sort == "reading" and need.who
    return bool(need.what) and not of_others and piece.latest(need.what) is None


def _waits(stages: Stages, beam: Beam, piece: Piece, need: Need) -> bool:
    """Return whether a reading must wait for a step on another piece."""
    if need.sort != "read after" or not stages.has(need.step):
        return False
    marks = (other.steps.get(need.step) for other in beam.among(need.who, piece))
    return any(mark is None or not mark.behind for mark in marks)


class Heights(NamedTuple):
    """Typed heights that aren't saved yet: the `places` from end 1, and the heights `typed` there
    over each side, all in inches."""

    places: tuple[Fraction, ...] = ()
    typed: Mapping[tuple[Fraction, Side], Fraction] = {}

    def places_over(self, beam: Beam) -> tuple[Fraction, ...]:
        """Return the places to measure the ceiling: where typing has begun, else where it was
        measured, else the usual ones; none while no run is known."""
        if self.places or beam.pair.ceiling is None:
            return self.places or usual_places(beam)
        return tuple(one.at for one in beam.pair.ceiling.stations)

    def height(self, beam: Beam, at: Fraction, side: Side) -> Fraction | None:
        """Return the height there, as typed or as the record has it; or None if it was not
        measured, or for another shape of the beam."""
        if (at, side) in self.typed:
            return self.typed[at, side]
        read = beam.pair.ceiling
        stations = read.stations if read and side in sides_read(beam, read) else ()
        return next((one.height(side) for one in stations if one.at == at), None)

    def stations(self, beam: Beam) -> tuple[Station, ...]:
        """Return the spots with all heights known, from end 1; with one side alone, both heights of
        a spot are equal."""
        found = []
        for at in self.places_over(beam):
            read = [self.height(beam, at, side) for side in sides_under(beam)]
            known = [one for one in read if one is not None]
            if len(known) == len(read):
                found.append(Station(at, known[0], known[-1]))
        return tuple(found)

    def whole(self, beam: Beam) -> bool:
        """Return whether every height is known."""
        return len(self.stations(beam)) == len(self.places_over(beam)) > 0

    def with_height(self, beam: Beam, at: Fraction, side: Side, height: Fraction) -> "Heights":
        """Return the same with one height more, or another one."""
        return Heights(self.places_over(beam), {**self.typed, (at, side): height})

    def with_place(self, beam: Beam, at: Fraction) -> "Heights":
        """Return the same with one place more."""
        return Heights(tuple(sorted({*self.places_over(beam), at})), self.typed)


LEG, HEIGHT, STATION = "leg", "height", "station"
_SCRIBED = "scribe"
"""The usual step after which the ceiling no longer needs to be measured."""


class OverBeam(NamedTuple):
    """One number measured over a whole beam: the square's `LEG`, the gap at it (one of `SQUARES`),
    the ceiling's `HEIGHT` over a side at a place from end 1, or the place of one more `STATION`."""

    row: str
    what: str
    at: Fraction = Fraction(0)
    side: Side = "A"

    @property
    def of_ceiling(self) -> bool:
        """Whether it is one of the ceiling's."""
        return self.what in (HEIGHT, STATION)


Asked = tuple[Spot, str] | OverBeam
"""A piece and the name of one of its readings, or a number over the whole beam."""
_NONE_TYPED = Heights()


def asked_in_turn(record: Record, row: str, heights: Heights = _NONE_TYPED) -> tuple[Asked, ...]:
    """Return every number that can be measured on a beam now: side A, side B, the walls in plan,
    the ceiling once a run is known, and the bottom once the sides are up; edge B only if the walls
    are out of square."""
    beam = record.beam(row)
    boards: list[Asked] = [
        (Spot(row, key), what)
        for key, piece in beam.pieces.items()
        for what in piece.takes
        if (what not in OPTIONAL or (what in EDGES and out_of_square(beam) is not None))
        and not any(
            one.sort == LATER and what in one.readings
            for one in missing_of(record.stages, beam, piece)
        )
    ]
    sides = [one for one in boards if beam.piece(one[0].piece).kind == "side"]  # type: ignore[union-attr]
    over = [OverBeam(row, what) for what in (LEG, *SQUARES)]
    places = heights.places_over(beam) if sides_under(beam) else ()
    over += [OverBeam(row, HEIGHT, at, side) for at in places for side in sides_under(beam)]
    if places:
        over.append(OverBeam(row, STATION))
    return (*sides, *over, *boards[len(sides) :])


def next_unread(
    record: Record, row: str, after: Asked | None, heights: Heights = _NONE_TYPED
) -> Asked | None:
    """Return the first unmeasured number after one, wrapping around; or None if all were measured.

    Optional numbers, the walls in plan and one more spot, are asked for in passing and not returned
    to; nor is the ceiling, if you come from it.
    """
    turn = asked_in_turn(record, row, heights)
    at = turn.index(after) + 1 if after in turn else 0
    beam = record.beam(row)
    left = isinstance(after, OverBeam) and after.of_ceiling
    for one in turn[at:]:
        if not _read(record, beam, one, heights) and (
            at or not _may_be_left_out(record, beam, one)
        ):
            return one
    for one in turn[:at]:
        over = isinstance(one, OverBeam) and (left or _may_be_left_out(record, beam, one))
        if not over and not _read(record, beam, one, heights):
            return one
    return None


def _read(record: Record, beam: Beam, one: Asked, heights: Heights) -> bool:
    if not isinstance(one, OverBeam):
        piece = beam.piece(one[0].piece)
        early = (found.what for found in read_early(record.stages, beam, piece))
        return piece.latest(one[1]) is not None and one[1] not in early
    if one.what == HEIGHT:
        return heights.height(beam, one.at, one.side) is not None
    return one.what == LEG or (
        one.what in SQUARES and beam.pair.square(SQUARES.index(one.what) + 1) is not None
    )


def _may_be_left_out(record: Record, beam: Beam, one: Asked) -> bool:
    """Return whether it is optional: walls, one more spot, or the ceiling over scribed sides."""
    if not isinstance(one, OverBeam):
        return False
    if one.what != HEIGHT or not record.stages.has(_SCRIBED):
        return True
    marks = (beam.pieces[side].steps.get(_SCRIBED) for side in sides_under(beam))
    return all(mark is not None and mark.behind for mark in marks)


def next_beam(record: Record, row: str, by: int) -> str:
    """Return the row of the beam `by` places on, wrapping around."""
    rows = [beam.row for beam in record.beams]
    return rows[(rows.index(row) + by) % len(rows)]

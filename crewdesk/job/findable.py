"""Find things in a job: their words and where they are."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from crewdesk.job.beams.beam import Beam
from crewdesk.job.beams.piece import Piece
from crewdesk.job.beams.readings import NAMES
from crewdesk.job.record import Record
from crewdesk.length import Step, show_length


@dataclass(frozen=True)
class Findable:
    """One thing to find: its sort (`job`, `beam`, `reading` or `note`), its words; the beam's row
    and the piece's key, if it belongs to one."""

    sort: str
    text: str
    beam: str = ""
    piece: str = ""


def findable(record: Record) -> Iterator[Findable]:
    """Return everything that can be found in a job, the job itself first."""
    job = record.job
    yield Findable("job", _joined((job.name, job.customer, job.site)))
    yield from _notes(job.notes)
    for beam in record.beams:
        yield Findable("beam", _joined((beam.label, *beam.ends)), beam.row)
        yield from _notes(beam.note, beam.label, beam.row)
        for piece in beam.pieces.values():
            yield from _of_piece(beam, piece, job.step)
    for entry in record.entries:
        yield from _notes(entry.note, record.stages.name_of(entry.stage))


def pieces_named(record: Record, words: Sequence[str]) -> Iterator[Findable]:
    """Yield the pieces whose full names contain all of some casefolded words; the last may be the
    beginning of a word.

    At least one must be the beam's and one the piece's own: ``den 2`` is a beam, ``side`` every
    side.
    """
    for beam in record.beams:
        of_beam = beam.label.casefold().split()
        for piece in beam.pieces.values():
            own = piece.name.casefold().split()
            parts = (of_beam, own, of_beam + own)
            in_beam, in_own, in_both = ([_is_word(words, at, some) for at in range(len(words))]
                                        for some in parts)  # fmt: skip
            if all(in_both) and any(in_beam) and any(in_own) and not all(in_beam):
                yield Findable("piece", f"{beam.label} {piece.name}", beam.row, piece.key)


def _is_word(words: Sequence[str], at: int, some: Sequence[str]) -> bool:
    """Return whether the word at a place is one of some words; the last may be a beginning."""
    last = at == len(words) - 1
    return any(one.startswith(words[at]) if last else one == words[at] for one in some)


def matches(text: str, words: Iterable[str]) -> bool:
    """Return whether each of some casefolded words is somewhere in a text."""
    plain = text.casefold()
    return all(word in plain for word in words)


def _of_piece(beam: Beam, piece: Piece, step: Step) -> Iterator[Findable]:
    where = f"{beam.label} {piece.name}"
    for what in piece.readings:
        latest = piece.latest(what)
        if latest is None:  # a file can hold a list without a reading
            continue
        value = show_length(latest.value, step)
        feet = "" if step.mm or latest.lean else f" = {show_length(latest.value, step, feet=True)}"
        lean = f", {latest.lean}" if latest.lean else ""
        text = f"{where}: {NAMES[what]} {value}{feet}{lean}"
        yield Findable("reading", text, beam.row, piece.key)
    for mark in piece.steps.values():
        yield from _notes(mark.reason or mark.override, where, beam.row, piece.key)
    for gap in piece.gaps:
        along = "" if gap.along is None else f" {show_length(gap.along, step)} from end 1"
        text = f"gap of {show_length(gap.width, step)} at {gap.where}{along}, {gap.cause}"
        yield from _notes(text, where, beam.row, piece.key)


def _notes(text: str, where: str = "", beam: str = "", piece: str = "") -> Iterator[Findable]:
    if plain := " ".join(text.split()):
        yield Findable("note", f"{where}: {plain}" if where else plain, beam, piece)


def _joined(parts: Iterable[str]) -> str:
    return " · ".join(part for part in parts if part)


def beams_like(record: Record, text: str, near: str = "") -> tuple[Beam, ...]:
    """Return the beams that a text can mean, best first; with no text the beam in row `near` first,
    then the others.

    One whose name is the text comes before one whose room and name hold all its words;
    of the same rank, those in the room of the beam `near` come first.
    """
    beams = record.beams
    here = next((beam for beam in beams if beam.row == near), None)
    words = text.casefold().split()
    found = [beam for beam in beams if matches(beam.label, words)]

    def rank(beam: Beam) -> tuple[bool, bool, bool]:
        named = bool(words) and beam.name.casefold() == " ".join(words)
        return (
            bool(words) and not named,
            here is not None and beam.room != here.room,
            not words and beam is not here,
        )

    return tuple(sorted(found, key=rank))

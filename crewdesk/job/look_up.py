"""Which beam is meant by a few signs typed in a hurry."""

from crewdesk.job.beam import Beam
from crewdesk.job.findable import matches
from crewdesk.job.record import Record


def beams_like(record: Record, text: str, near: str = "") -> tuple[Beam, ...]:
    """The beams that a text can mean, the likeliest first; with no text the beam in row
    `near` first and the others after it.

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

"""Turn typed readings into changes of the record."""

import re
from collections.abc import Mapping
from datetime import datetime
from fractions import Fraction

from crewdesk.errors import BadInput, NotAllowed
from crewdesk.job.beams.other_shape import shape_for_length
from crewdesk.job.beams.piece import Piece, Spot
from crewdesk.job.beams.readings import (
    AFTERWARD,
    ENDS,
    LENGTHS,
    NAMES,
    READ_TO,
    READING_KINDS,
    Reading,
    check_step,
    level_typed,
    reading_name,
)
from crewdesk.job.change import ABSENT, Change, edit
from crewdesk.job.record import JOB_ROW, Record
from crewdesk.job.steps.stages import Stages
from crewdesk.job.text_limits import LONGEST_NAME, checked_line
from crewdesk.trade.read_length import read_length, read_off

LAST_STEP = "nail-bottom"
"""The usual step after which the finished beam can be measured."""


_LEAN = re.compile(
    r"(?:(in|out|i|o)[ :]*(?=[\d.]))?(.*?)(?: *(in|out|i|o))?( at (?:the )?top)?", re.IGNORECASE
)
_LEANS = {"i": "in", "in": "in", "o": "out", "out": "out"}


def lean_in(text: str) -> tuple[str, str]:
    """Return a gap's text without the way its wall leans, and that way, "" where it isn't typed.

    ``3/16 o``, ``3/16out``, ``i 1/8`` and ``1/8 in at top`` say it; the "in" of ``1/8 in`` alone is
    the unit.
    """
    plain = " ".join(text.split())
    found = _LEAN.fullmatch(plain)
    if found is None or not any(sign.isdigit() for sign in found[2]):
        return text, ""
    before, gap, after, top = found.groups()
    if before and not after and not top:
        return gap, _LEANS[before.lower()]
    if after and not before and (top or after.lower() != "in"):
        return gap, _LEANS[after.lower()]
    return text, ""


def typed_reading(
    record: Record,
    what: str,
    text: str,
    now: datetime,
    *,
    lean: str = "",
    level: str = "",
    who: str = "",
    instrument: str = "",
) -> Reading:
    """Return a reading from typed text; raises `BadInput` for an invalid length or end."""
    if what not in NAMES:
        raise NotAllowed(f"There is no reading {what}. Known are {', '.join(NAMES)}.")
    unit = "mm" if record.job.step.mm else "in"
    at_end = what in ENDS
    reading = Reading(
        read_off(text, unit=unit),
        now,
        checked_line(who, "name of the person who measured", most=LONGEST_NAME),
        checked_line(instrument, "instrument", most=LONGEST_NAME) or READING_KINDS[what].instrument,
        text.strip(),
        lean if at_end else "",
        level_typed(level, unit) if at_end else Fraction(0),
        read_to(record).get(instrument or READING_KINDS[what].instrument),
    )
    if at_end:
        _ = reading.end
    return reading


def take(record: Record, spot: Spot, what: str, reading: Reading) -> Change:
    """Return the change that adds a reading to a piece; earlier ones of that name stay.

    An implausible reading is saved too: its step's gate stays closed.
    """
    beam = record.beam(spot.beam)
    piece = beam.piece(spot.piece)
    if what not in piece.takes:
        raise NotAllowed(f"A {piece.name} has no reading {NAMES.get(what, what)}.")
    at = ("beams", spot.beam, "pieces", spot.piece, "readings", what)
    if what in LENGTHS:
        reading = reading._replace(read_for=shape_for_length(beam))
    taken = [one.to_doc() for one in (*piece.readings.get(what, ()), reading)]
    return Change(
        f"measured {NAMES[what]} of {beam.label} {piece.name}",
        (edit(record.tables, at, taken),),
        reading.when,
    )


def take_typed(record: Record, spot: Spot, what: str, reading: Reading) -> Change:
    """Return that change for a typed reading. Refuse an impossible wall-to-wall length, such as
    1/8, which was probably meant for the next line.

    Raises `BadInput` and `NotAllowed`.
    """
    kind = READING_KINDS.get(what)
    shortest, longest = (kind and kind.believed) or (reading.value, reading.value)
    if not shortest <= reading.value <= longest:
        raise BadInput(
            "{value} in isn't saved: this line is for the {name}, which should be from "
            "{shortest} to {longest} in wall to wall.",
            value=reading.value,
            shortest=shortest,
            longest=longest,
            name=reading_name(what, sloped=record.beam(spot.beam).ceiling == "sloped"),
        )
    return take(record, spot, what, reading)


def takes_now(stages: Stages, piece: Piece) -> tuple[str, ...]:
    """Return the names of the readings that a piece takes now: readings of the finished beam only
    after the bottom is nailed, or if one was taken before."""
    mark = piece.steps.get(LAST_STEP)
    up = not stages.has(LAST_STEP) or (mark is not None and mark.behind)
    return tuple(
        what for what in piece.takes if up or what not in AFTERWARD or what in piece.readings
    )


def read_to(record: Record) -> dict[str, Fraction]:
    """Return the steps of this job's instruments, if they aren't the usual ones."""
    return record.read_to


def change_read_to(record: Record, steps: Mapping[str, str], now: datetime) -> Change:
    """Return the change that sets the instruments' steps, as typed, by instrument.

    Earlier readings keep their step. Raises `NotAllowed` and `BadInput`.
    """
    kept = {}
    for name, text in steps.items():
        if name not in READ_TO:
            raise NotAllowed(f"There is no instrument {name}. Known are {', '.join(READ_TO)}.")
        value = read_length(text, unit="mm" if record.job.step.mm else "in")
        check_step(value, name)
        if value != READ_TO[name]:
            kept[name] = str(value)
    made = edit(record.tables, ("job", JOB_ROW, "read_to"), kept or ABSENT)
    if made.before == made.after:
        raise NotAllowed("That is the same as before. Nothing was changed.")
    return Change("changed the instruments' steps", (made,), now)

"""Beams out of a list: each named by the next free number of its room."""

from collections.abc import Sequence
from datetime import datetime

from crewdesk.errors import NotAllowed
from crewdesk.job.beams import add_beam
from crewdesk.job.change import Change, Edit
from crewdesk.job.forms import USUAL
from crewdesk.job.record import Record
from crewdesk.trade.beam_list import BeamLine
from crewdesk.trade.cuts.section import Section

MOST_BEAMS = 500


def add_listed(
    record: Record, lines: Sequence[BeamLine], now: datetime, *, form: str = USUAL
) -> Change:
    """The one change that adds every beam of a list.

    A line without a section takes the job's; one with its own keeps the job's
    thicknesses, reveal and relief. Raises `NotAllowed`, and `BadInput` where a section leaves
    no room for its boards.
    """
    total = sum(line.count for line in lines)
    if total + len(record.beams) > MOST_BEAMS:
        raise NotAllowed(f"A job has at most {MOST_BEAMS} beams; nothing was changed.")
    if not total:
        raise NotAllowed("There is no beam in the list; nothing was changed.")
    grown = Record(dict(record.tables, beams=dict(record.tables.get("beams", {}))))
    rooms: dict[str, int] = {}
    edits: list[Edit] = []
    for line in lines:
        room = next(
            (one.room for one in grown.beams if one.room.casefold() == line.room.casefold()),
            line.room,
        )
        section = _section(record.job.section, line)
        first = _first_free(grown, room)
        for number in range(first, first + line.count):
            added = add_beam(
                grown, str(number), room, now, section=section, form=form, rough=line.length
            )
            grown.make(added)
            edits += added.edits
        rooms[room] = rooms.get(room, 0) + line.count
    told = ", ".join(f"{count} in {room}" for room, count in rooms.items())
    return Change(f"added {total} beam{'' if total == 1 else 's'}: {told}", tuple(edits), now)


def _first_free(record: Record, room: str) -> int:
    """The number after the greatest that names a beam of a room."""
    names = (one.name for one in record.beams if one.room == room)
    return 1 + max((int(name) for name in names if name.isascii() and name.isdecimal()), default=0)


def _section(usual: Section, line: BeamLine) -> Section:
    if line.width is None or line.height is None:
        return usual
    return usual._replace(width=line.width, height=line.height)

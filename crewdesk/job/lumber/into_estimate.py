"""The buying list as the job's lines of material, for its estimate."""

from collections.abc import Sequence
from datetime import datetime
from typing import TYPE_CHECKING

from crewdesk.job.change import ABSENT, Change, edit
from crewdesk.job.lumber.takeoff import Buy
from crewdesk.job.refused import Refused
from crewdesk.trade.length import feet_and_inches

if TYPE_CHECKING:
    from crewdesk.job.record import Record

OF = "takeoff"


def into_estimate(record: "Record", buy: Sequence[Buy], now: datetime) -> Change:
    """The change that puts the boards to buy, spare ones with them, among the lines of
    material, in place of those that came from a takeoff before.

    They are counted by the board, so no waste is added to them. Raises `Refused`.
    """
    materials = record.tables.get("materials", {})
    old = sorted((row for row, doc in materials.items() if doc.get("of") == OF), key=int)
    first = int(record.new_row("materials"))
    new = {
        str(first + place): {
            "text": f"{one.label}, {feet_and_inches(one.length)}",
            "quantity": str(one.count + one.spare),
            "price": str(one.each),
            "sort": "materials",
            "waste": "0",
            "of": OF,
        }
        for place, one in enumerate(buy)
        if one.count
    }
    if [materials[row] for row in old] == list(new.values()):
        raise Refused("The estimate has these boards already; nothing was changed.")
    edits = [edit(record.tables, ("materials", row), ABSENT) for row in old]
    edits += [edit(record.tables, ("materials", row), doc) for row, doc in new.items()]
    return Change("put the boards to buy into the estimate", tuple(edits), now)

"""What a takeoff counts as the job's lines of material, for its estimate."""

from collections.abc import Mapping
from datetime import datetime
from decimal import Decimal

from crewdesk.errors import NotAllowed
from crewdesk.job.books.material import TAKEOFF
from crewdesk.job.books.shop import Shop
from crewdesk.job.change import ABSENT, Change, Doc, edit
from crewdesk.job.lumber.buying_list import Buy, buying_list
from crewdesk.job.lumber.takeoff import Takeoff
from crewdesk.job.lumber.used_up import UsedUp, used_up
from crewdesk.job.record import Record
from crewdesk.length import feet_and_inches

KEPT = ("waste", "markup")


def into_estimate(record: Record, takeoff: Takeoff, shop: Shop, now: datetime) -> Change:
    """The change that puts the boards to buy, spare ones with them, and the packs of what is
    used up among the lines of material, in place of those that came from a takeoff before.

    They are counted whole, waste in them, so none is added. A pack costs what the shop's
    `packs` say, else what was typed for it here before, else nothing yet. Waste and markup
    that were typed for a line stay with it. Raises `NotAllowed`.
    """
    materials = record.tables.get("materials", {})
    old = sorted((row for row, doc in materials.items() if doc.get("of") == TAKEOFF), key=int)
    before = {materials[row]["text"]: materials[row] for row in old}
    rules = record.job.cutting
    lines = [_board(one) for one in buying_list(takeoff, rules.spare) if one.count]
    lines += [
        _pack(one, shop.packs, before) for one in used_up(record, takeoff.boards) if one.packs.buy
    ]
    for doc in lines:
        was = before.get(doc["text"], {})
        doc.update({key: was[key] for key in KEPT if key in was})
    if [materials[row] for row in old] == lines:
        raise NotAllowed("The estimate has all of the takeoff already; nothing was changed.")
    first = int(record.new_row("materials"))
    edits = [edit(record.tables, ("materials", row), ABSENT) for row in old]
    edits += [
        edit(record.tables, ("materials", str(first + place)), doc)
        for place, doc in enumerate(lines)
    ]
    what = "put the takeoff into the estimate"
    if by_hand := len(materials) - len(old):
        what += f", beside {by_hand} line{'' if by_hand == 1 else 's'} typed by hand"
    return Change(what, tuple(edits), now)


def _board(one: Buy) -> Doc:
    return {
        "text": f"{one.label}, {feet_and_inches(one.length)}",
        "quantity": str(one.count + one.spare),
        "price": str(one.each),
        "sort": "materials",
        "waste": "0",
        "of": TAKEOFF,
    }


def _pack(one: UsedUp, packs: Mapping[str, Decimal], before: Mapping[str, Doc]) -> Doc:
    text = f"{one.name}, {one.pack_name}"
    price = packs.get(one.sort)
    return {
        "text": text,
        "quantity": str(one.packs.buy),
        "price": before.get(text, {}).get("price", "0.00") if price is None else str(price),
        "sort": "consumables",
        "waste": "0",
        "of": TAKEOFF,
    }

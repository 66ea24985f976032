"""What is to be bought of a takeoff, by size, with the spare boards, and its lines of material
in the job's estimate."""

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from fractions import Fraction

from crewdesk.errors import NotAllowed
from crewdesk.job.books.job_rows import TAKEOFF
from crewdesk.job.books.shop import Shop
from crewdesk.job.change import ABSENT, Change, Doc, edit
from crewdesk.job.lumber.stock import board_feet_of
from crewdesk.job.lumber.takeoff import Board, Takeoff
from crewdesk.job.lumber.used_up import UsedUp, used_up
from crewdesk.job.record import Record
from crewdesk.length import feet_and_inches
from crewdesk.trade.boards.consumables import Spare, with_spare

KEPT = ("waste", "markup")


@dataclass(frozen=True)
class Buy:
    """`count` boards of one size and length, the `bought` ones among them, and `spare` ones
    beside them; `each` is the price of one."""

    label: str
    size: str
    thickness: Fraction
    width: Fraction
    length: Fraction
    count: int
    bought: int
    spare: int
    each: Decimal
    rows: tuple[str, ...]

    @property
    def cost(self) -> Decimal:
        """Of all but the spare ones."""
        return self.each * self.count

    @property
    def board_feet(self) -> Fraction:
        """Of all but the spare ones."""
        return board_feet_of(self.size, self.thickness, self.width, [self.length] * self.count)


def buying_list(takeoff: Takeoff, spare: Spare) -> tuple[Buy, ...]:
    """The boards to buy by size, the widest and the longest first. The spare boards of a
    size are of its longest length."""
    groups: dict[tuple[str, Fraction, Fraction, Fraction, Decimal], list[Board]] = {}
    for board in takeoff.boards:
        if not board.hand:
            key = (board.label, board.thickness, board.width, board.length, board.price)
            groups.setdefault(key, []).append(board)
    sizes = Counter((k[0], k[1], k[2]) for k, boards in groups.items() for _ in boards)
    found, had = [], set()
    for key, boards in sorted(groups.items(), key=lambda g: (-g[0][2], g[0][0], -g[0][3], g[0][4])):
        label, thickness, width, length, each = key
        size = (label, thickness, width)
        more = 0 if size in had else with_spare(sizes[size], spare) - sizes[size]
        had.add(size)
        found.append(
            Buy(
                label,
                boards[0].size,
                thickness,
                width,
                length,
                len(boards),
                sum(one.state != "to buy" for one in boards),
                more,
                each,
                tuple(one.row for one in boards),
            )
        )
    return tuple(found)


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
        raise NotAllowed("The estimate already has all of the takeoff. Nothing was changed.")
    first = int(record.new_row("materials"))
    edits = [edit(record.tables, ("materials", row), ABSENT) for row in old]
    edits += [
        edit(record.tables, ("materials", str(first + place)), doc)
        for place, doc in enumerate(lines)
    ]
    what = "copied the takeoff into the estimate"
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

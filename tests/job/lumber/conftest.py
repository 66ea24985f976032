"""A shop's stock, jobs with beams of given lengths, and a judge of plans that knows none of
the planner's code."""

from collections import Counter
from collections.abc import Callable, Iterable
from datetime import datetime
from fractions import Fraction as Fr
from itertools import pairwise

import pytest

from crewdesk.job.beams import beams
from crewdesk.job.books.shop_record import ShopRecord
from crewdesk.job.lumber.boards import change_rules
from crewdesk.job.lumber.stock_list import take_stock_in
from crewdesk.job.record import Record
from crewdesk.trade.cuts.section import Section

STOCK = (
    ("1x12", "8', 10', 12', 14', 16', 18'", "6.60"),
    ("1x10", "8', 10', 12', 14', 16', 18'", "5.40"),
    ("1x8", "8', 10', 12', 14', 16', 18'", "4.10"),
)


@pytest.fixture(scope="session")
def shop_of(now: datetime) -> Callable[..., ShopRecord]:
    """Makes a shop with oak in some sizes (name, lengths, price a foot) and boards on hand."""

    def make(stock: Iterable[tuple[str, str, str]] = STOCK, on_hand: Iterable[dict] = ()):
        books = ShopRecord({})
        document = {
            "crewdesk": "stock",
            "stock": [
                {"species": "Oak", "size": size, "lengths": lengths, "price": price, "per": "foot"}
                for size, lengths, price in stock
            ],
            "on_hand": [{"species": "Oak", **one} for one in on_hand],
        }
        books.make(take_stock_in(books, document, now))
        return books

    return make


@pytest.fixture(scope="session")
def job_of(now: datetime) -> Callable[..., Record]:
    """Makes a job of beams, each (rough length, width, height), with rules as typed."""

    def make(sizes: Iterable[tuple[object, object, object]], **rules: str) -> Record:
        record = Record({})
        record.make(beams.new_job("Hill house", Section(Fr(8), Fr(10)), now))
        for number, (rough, width, height) in enumerate(sizes, 1):
            section = Section(Fr(width), Fr(height))
            record.make(
                beams.add_beam(record, str(number), "Hall", now, section=section, rough=Fr(rough))
            )
        if rules:
            record.make(change_rules(record, rules, now))
        return record

    return make


@pytest.fixture(scope="session")
def judge() -> Callable[..., None]:
    """Holds a takeoff against its job and shop, from its numbers alone."""
    return _judge


def _judge(takeoff, record: Record, books: ShopRecord) -> None:
    rules = record.job.cutting
    given: Counter = Counter()
    sold = {
        (line.size, length): (Fr(line.price) * length / 12, count)
        for line in books.stock
        for length, count in line.lengths
    }
    bought: Counter = Counter()
    for board in takeoff.boards:
        if board.state == "spoiled":
            assert not board.pieces
            continue
        places = [(p.start, p.end, p.near, p.far) for p in board.pieces]
        places += [(c.start, c.end, c.near, c.far) for c in board.cleats]
        for start, end, near, far in places:
            assert rules.end_trim <= start < end <= board.length - rules.end_trim
            assert rules.edge_trim <= near < far <= board.width - rules.edge_trim
            for bad in board.bad:
                assert end <= bad.start or start >= bad.end
        for at, (start, end, near, far) in enumerate(places):
            for start2, end2, near2, far2 in places[at + 1 :]:
                along = end + rules.kerf <= start2 or end2 + rules.kerf <= start
                across = far + rules.rip_kerf <= near2 or far2 + rules.rip_kerf <= near
                assert along or across, "a kerf is missing, or wood is cut twice"
        walls = [Fr(0), *(b.end for b in board.bad), board.length]
        for start, end in pairwise(walls):
            part = [one for one in places if start <= one[0] and one[1] <= end]
            _one_cut_after_another(board, part)
        given.update(one.key for one in board.pieces)
        if board.hand:
            assert board.price == 0
        else:
            price, _ = sold[board.size, board.length]
            assert abs(Fr(board.price) - price) < Fr(1, 100)
            bought[board.size, board.length] += 1
    for key, count in bought.items():
        assert sold[key][1] is None or count <= sold[key][1]
    hands = [board.hand for board in takeoff.boards if board.hand]
    assert len(set(hands)) == len(hands)
    assert all(count == 1 for count in given.values()), "a piece is cut twice"
    pieces = {(row, key) for row, key, _, _ in given}
    assert pieces == {(b.row, key) for b in record.beams for key in b.boards}
    for row, key in pieces:
        parts = [p for b in takeoff.boards for p in b.pieces if (p.beam, p.piece) == (row, key)]
        beam = record.beam(row)
        assert len(parts) == parts[0].parts
        assert sum(p.length for p in parts) >= beam.rough + 2 * rules.allowance
        assert all(p.width >= beam.boards[key].width for p in parts)
    cleats = sum(c.end - c.start for b in takeoff.boards if b.state != "spoiled" for c in b.cleats)
    assert cleats >= sum(2 * b.rough for b in record.beams if "cleats" in b.pieces)
    assert takeoff.cost == sum(b.price for b in takeoff.boards)
    assert takeoff.bound <= takeoff.cost


def _one_cut_after_another(board, places) -> None:
    """A saw goes right across: a board is parted at its bad wood, each part ripped into strips
    or crosscut into sections, a strip crosscut, and a section ripped and trimmed at last."""
    firsts = [board.first] if not board.bad else ["rip", "crosscut"]
    assert any(_cuts_part(places, first) for first in firsts)


def _cuts_part(places, first: str) -> bool:
    """Whether straight cuts part all places, ripping strips first or not."""
    strips = _bands(places, 2) if first == "rip" else [places]
    return all(
        len(piece) == 1
        for strip in strips
        for section in _bands(strip, 0)
        for piece in _bands(section, 2)
    )


def _bands(places, axis: int):
    """The places in bands that do not overlap along an axis."""
    found, reach = [], None
    for one in sorted(places, key=lambda p: p[axis]):
        if reach is None or one[axis] >= reach:
            found.append([one])
        else:
            found[-1].append(one)
        reach = one[axis + 1] if reach is None else max(reach, one[axis + 1])
    return found

"""A job's takeoff put as a task: what is wanted, what there is, what stands already."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from crewdesk.errors import NotAllowed
from crewdesk.job.books.shop_record import ShopRecord
from crewdesk.job.lumber.board import Board
from crewdesk.job.lumber.cutting_rules import SAWS, CuttingRules
from crewdesk.job.lumber.sources import Source, longest_of, sources
from crewdesk.job.lumber.wanted import CleatsWanted, Wanted, wanted_cleats, wanted_pieces
from crewdesk.job.record import Record
from crewdesk.trade.boards.stock import Saws


@dataclass(frozen=True)
class Task:
    """`pieces` and `cleats` are all that is wanted; `fixed` are boards that are cut or
    spoiled and `bought` those that are there; `open` are the pieces that no cut board has
    yet. All of it is plain data, so that it can be solved away from the record."""

    rules: CuttingRules
    pieces: tuple[Wanted, ...]
    cleats: tuple[CleatsWanted, ...]
    fixed: tuple[Board, ...]
    bought: tuple[Board, ...]
    open: tuple[Wanted, ...]
    sources: tuple[Source, ...]

    @property
    def saws(self) -> Saws:
        return saws_of(self.rules)

    @property
    def spent(self) -> Decimal:
        """What the boards cost that are bought, cut or spoiled."""
        return sum((one.price for one in (*self.fixed, *self.bought)), Decimal(0))


def saws_of(rules: CuttingRules) -> Saws:
    """The saws as the trade takes them."""
    return Saws(rules.kerf, rules.end_trim, rules.rip_kerf, rules.edge_trim, SAWS[rules.saws])


def task_of(record: Record, books: ShopRecord, job: str) -> Task:
    """The task of a job whose id is `job`, around what is cut already.

    Raises `NotAllowed`, and `BadInput` where a piece is too long to be spliced.
    """
    rules = record.job.cutting
    saws = saws_of(rules)
    fixed = tuple(one for one in record.boards if one.state in ("cut", "spoiled"))
    bought = tuple(one for one in record.boards if one.state == "bought")
    every = sources(books, rules, job, bought, fixed)
    pieces = wanted_pieces(record, rules, lambda t, w: longest_of(every, saws, t, w))
    cut = cut_pieces(fixed)
    left = tuple(one for one in pieces if not _has(cut, one))
    cleats = wanted_cleats(record, rules)
    thick = {one.thickness for one in every}
    for one in left:
        if one.thickness not in thick:
            raise NotAllowed(
                "No board of the stock list is {thick} in thick, as {piece} is; add one, or change "
                "the beam's section.",
                thick=one.thickness,
                piece=one.label,
            )
    return Task(rules, pieces, cleats, fixed, bought, left, every)


def cut_pieces(
    fixed: Iterable[Board],
) -> dict[tuple[str, str, int, int], tuple[Fraction, Fraction]]:
    """Length and width of each piece that cut boards have given, the longest of its key."""
    found: dict[tuple[str, str, int, int], tuple[Fraction, Fraction]] = {}
    for board in fixed:
        if board.state == "cut":
            for one in board.pieces:
                found[one.key] = max(found.get(one.key, (one.length, one.width)),
                                     (one.length, one.width))  # fmt: skip
    return found


def _has(cut: dict[tuple[str, str, int, int], tuple[Fraction, Fraction]], one: Wanted) -> bool:
    length, width = cut.get(one.key, (Fraction(0), Fraction(0)))
    return length >= one.length and width >= one.width


def cleats_on(boards: Iterable[Board], thickness: Fraction) -> Fraction:
    """Inches of cleats that boards of a thickness give; spoiled ones give none."""
    return sum(
        (
            one.end - one.start
            for board in boards
            if board.thickness == thickness and board.state != "spoiled"
            for one in board.cleats
        ),
        Fraction(0),
    )

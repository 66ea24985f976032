"""A job's takeoff as a task for the planner: wanted pieces, fixed boards, and the boards to cut
from: stock, boards on hand, bought boards."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from crewdesk.errors import NotAllowed
from crewdesk.job.books.shop_record import ShopRecord
from crewdesk.job.lumber.blanks import (
    CleatsWanted,
    Wanted,
    unmeasured,
    wanted_cleats,
    wanted_pieces,
)
from crewdesk.job.lumber.cutting_rules import SAWS, CuttingRules
from crewdesk.job.lumber.stock import HandBoard
from crewdesk.job.lumber.takeoff import Board
from crewdesk.job.record import Record
from crewdesk.trade.boards.stock import Saws, Stock

NO_MONEY = Decimal("0.00")
NO_STOCK = (
    "There are no boards to plan with. Enter those you can buy (Business settings, "
    "Boards), or add a list with `crewdesk stock --take FILE.json`."
)


@dataclass(frozen=True, kw_only=True)
class Source(Stock):
    """A kind of board: `hand` is the business's row of a board on hand, `row` the job's row of a
    bought one."""

    species: str
    grade: str
    size: str
    thickness: Fraction
    hand: str = ""
    row: str = ""


def _there(one: Board | HandBoard, hand: str, row: str = "") -> Source:
    """Return a board that is there already and costs nothing more."""
    return Source(
        one.label,
        one.width,
        one.length,
        NO_MONEY,
        bad=one.bad,
        on_hand=True,
        species=one.species,
        grade=one.grade,
        size=one.size,
        thickness=one.thickness,
        hand=hand,
        row=row,
    )


def rows_on_hand(books: ShopRecord, record: Record, job: str) -> dict[str, str]:
    """Return the shop's row of each board on hand that a job uses, by the board's row in the job,
    whose id is `job`.

    It is the row that the board names, if that is such a board: a job that comes from another shop
    names rows of that one. The row has another number where two computers added boards while they
    were apart; it is then one that is set aside for the job. One that another job has set aside is
    none of it.
    """
    free = {one.row: one for one in books.on_hand if one.free or one.is_for(job, record.begun)}
    found: dict[str, str] = {}
    for named in (True, False):
        for board in record.boards:
            if not board.hand or board.row in found:
                continue
            rows = (
                row
                for row, one in free.items()
                if _is_such(one, board)
                and (row == board.hand if named else one.is_for(job, record.begun))
            )
            if row := next(rows, ""):
                found[board.row] = row
                del free[row]
    return found


def _is_such(one: HandBoard, board: Board) -> bool:
    names = ("species", "thickness", "width", "length")
    return all(getattr(one, name) == getattr(board, name) for name in names)


def sources(
    books: ShopRecord, record: Record, job: str, bought: Iterable[Board]
) -> tuple[Source, ...]:
    """Return every board that a job may be cut from; raises `NotAllowed` if the wood isn't set.

    Boards on hand that another job set aside, or that are among this job's `fixed` ones, are left
    out.
    """
    rules, used = record.job.cutting, rows_on_hand(books, record, job)
    wood = _wood(books, rules)

    def suits(species: str, grade: str) -> bool:
        return species.casefold() == wood and rules.grade.casefold() in ("", grade.casefold())

    found = [_there(one, used.get(one.row, one.hand), one.row) for one in bought]
    taken = set(used.values())
    found += [
        _there(one, one.row)
        for one in books.on_hand
        if suits(one.species, one.grade) and one.row not in taken
        if one.free or one.is_for(job, record.begun)
    ]
    found += [
        Source(
            line.label,
            line.width,
            length,
            line.price_of(length),
            count,
            species=line.species,
            grade=line.grade,
            size=line.size,
            thickness=line.thickness,
        )
        for line in books.stock
        if suits(line.species, line.grade)
        for length, count in line.lengths
        if count != 0
    ]
    if not found:
        raise NotAllowed(NO_STOCK)
    return tuple(found)


def longest_of(
    every: Iterable[Source], saws: Saws, thickness: Fraction, width: Fraction
) -> Fraction | None:
    """Return the longest clear wood of a thickness and at least a width; None if there is none."""
    return max(
        (
            stretch.length
            for one in every
            if one.thickness == thickness and saws.clear_width(one.width) >= width
            for stretch in saws.clear_stretches(one.length, one.bad)
        ),
        default=None,
    )


def _wood(books: ShopRecord, rules: CuttingRules) -> str:
    """Return the species for comparisons; raises `NotAllowed` if there are several."""
    every = [*(one.species for one in books.on_hand), *(one.species for one in books.stock)]
    known = {one.casefold(): one for one in every}
    if rules.species:
        if rules.species.casefold() not in known and known:
            raise NotAllowed(
                f"The stock list has no {rules.species}. It has {', '.join(known.values())}."
            )
        return rules.species.casefold()
    listed = {one.species.casefold() for one in books.stock} or set(known)
    if len(listed) > 1:
        raise NotAllowed(
            "The stock list has "
            f"{' and '.join(known[one] for one in sorted(listed))}. Choose this "
            "job's, for example with `crewdesk takeoff JOB "
            f"species='{known[min(listed)]}'`, or with i on the Material page."
        )
    return next(iter(listed), "")


@dataclass(frozen=True)
class Task:
    """A task for the planner, plain data so that it can be solved without the record.

    `pieces` and `cleats` are everything wanted; `fixed` are cut or ruined boards, `bought` those
    that are there; `open` are the pieces that no cut board has. `unmeasured` are the beams left out
    because their length is unknown, by label.
    """

    rules: CuttingRules
    pieces: tuple[Wanted, ...]
    cleats: tuple[CleatsWanted, ...]
    fixed: tuple[Board, ...]
    bought: tuple[Board, ...]
    open: tuple[Wanted, ...]
    sources: tuple[Source, ...]
    unmeasured: tuple[str, ...] = ()

    @property
    def saws(self) -> Saws:
        return saws_of(self.rules)

    @property
    def spent(self) -> Decimal:
        """The cost of boards that are bought, cut or ruined."""
        return sum((one.price for one in (*self.fixed, *self.bought)), Decimal(0))


def saws_of(rules: CuttingRules) -> Saws:
    """Return the saws for the planner."""
    return Saws(rules.kerf, rules.end_trim, rules.rip_kerf, rules.edge_trim, SAWS[rules.saws])


def task_of(record: Record, books: ShopRecord, job: str) -> Task:
    """Return the task of a job whose id is `job`, around its cut boards.

    Raises `NotAllowed`, and `BadInput` if a piece is too long to be spliced.
    """
    rules = record.job.cutting
    saws = saws_of(rules)
    fixed = tuple(one for one in record.boards if one.state in ("cut", "spoiled"))
    bought = tuple(one for one in record.boards if one.state == "bought")
    every = sources(books, record, job, bought)
    pieces = wanted_pieces(record, rules, lambda t, w: longest_of(every, saws, t, w))
    cut = cut_pieces(fixed)
    left = tuple(one for one in pieces if not _has(cut, one))
    cleats = wanted_cleats(record, rules)
    thick = {one.thickness for one in every}
    for one in left:
        if one.thickness not in thick:
            raise NotAllowed(
                "No board of the stock list is {thick} in thick, like {piece}. Add "
                "one, or change the beam's section.",
                thick=one.thickness,
                piece=one.label,
            )
    return Task(rules, pieces, cleats, fixed, bought, left, every, unmeasured(record))


def cut_pieces(
    fixed: Iterable[Board],
) -> dict[tuple[str, str, int, int], tuple[Fraction, Fraction]]:
    """Return the length and width of each piece on cut boards, the longest of its key."""
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
    """Return the inches of cleats on boards of a thickness; ruined ones give none."""
    return sum(
        (
            one.end - one.start
            for board in boards
            if board.thickness == thickness and board.state != "spoiled"
            for one in board.cleats
        ),
        Fraction(0),
    )

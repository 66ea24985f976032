"""Where a job's boards can come from: the stock list, boards on hand, boards bought."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from crewdesk.errors import NotAllowed
from crewdesk.job.books.shop_record import ShopRecord
from crewdesk.job.lumber.board import Board
from crewdesk.job.lumber.cutting_rules import CuttingRules
from crewdesk.job.lumber.stock import HandBoard
from crewdesk.trade.boards.stock import Saws, Stock

NO_MONEY = Decimal("0.00")
NO_STOCK = (
    "The shop has no boards to plan with yet; enter those that can be had (in the shop, under "
    "Boards), or take a list in with `crewdesk stock --take FILE.json`."
)


@dataclass(frozen=True, kw_only=True)
class Source(Stock):
    """A kind of board, as the shop names it: `hand` is the shop's row of a board on hand, `row`
    the job's of one that was bought."""

    species: str
    grade: str
    size: str
    thickness: Fraction
    hand: str = ""
    row: str = ""


def _there(one: Board | HandBoard, hand: str, row: str = "") -> Source:
    """A board that is there already and costs nothing more."""
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


def sources(
    books: ShopRecord,
    rules: CuttingRules,
    job: str,
    bought: Iterable[Board],
    fixed: Iterable[Board] = (),
) -> tuple[Source, ...]:
    """Every board that a job may be cut from; raises `NotAllowed` where the wood is not told.

    Boards on hand that another job means to use, or that are among the `fixed` ones of
    this job, are left out.
    """
    wood = _wood(books, rules)

    def suits(species: str, grade: str) -> bool:
        return species.casefold() == wood and rules.grade.casefold() in ("", grade.casefold())

    found = [_there(one, one.hand, one.row) for one in bought]
    taken = {one.hand for one in found} | {one.hand for one in fixed}
    found += [
        _there(one, one.row)
        for one in books.on_hand
        if suits(one.species, one.grade) and one.job in ("", job) and one.row not in taken
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
    """The longest clear wood of a thickness and at least a width; None where there is none."""
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
    """The species, as it is compared; raises `NotAllowed` where there are several."""
    every = [*(one.species for one in books.on_hand), *(one.species for one in books.stock)]
    known = {one.casefold(): one for one in every}
    if rules.species:
        if rules.species.casefold() not in known and known:
            raise NotAllowed(
                f"The stock list has no {rules.species}; it has {', '.join(known.values())}."
            )
        return rules.species.casefold()
    listed = {one.species.casefold() for one in books.stock} or set(known)
    if len(listed) > 1:
        raise NotAllowed(
            f"The stock list has {' and '.join(known[one] for one in sorted(listed))}; say which "
            f"this job is of, as with `crewdesk takeoff JOB species='{known[min(listed)]}'`, or "
            "with i on the Material screen."
        )
    return next(iter(listed), "")

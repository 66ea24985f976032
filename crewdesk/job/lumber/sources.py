"""Where a job's boards can come from: the stock list, boards on hand, boards bought."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from crewdesk.errors import NotAllowed
from crewdesk.job.books.shop_record import ShopRecord
from crewdesk.job.lumber.board import Board
from crewdesk.job.lumber.cutting_rules import CuttingRules
from crewdesk.trade.boards.ripping import RipSaw, clear_width
from crewdesk.trade.boards.stock import BadStretch, Saw, Stretch, clear_stretches

NO_MONEY = Decimal("0.00")
NO_STOCK = (
    "The shop has no boards to plan with yet; enter those that can be had (in the shop, under "
    "Boards), or take a list in with `crewdesk stock --take FILE.json`."
)


@dataclass(frozen=True)
class Source:
    """A kind of board: `price` is what one more costs (none for what is there), `count` how
    many there are; `hand` is the shop's row of a board on hand, `row` the job's of one
    that was bought."""

    species: str
    grade: str
    size: str
    thickness: Fraction
    width: Fraction
    length: Fraction
    price: Decimal
    count: int | None = None
    bad: tuple[BadStretch, ...] = ()
    hand: str = ""
    row: str = ""

    @property
    def there(self) -> bool:
        """Whether it is there already."""
        return bool(self.hand or self.row)

    def stretches(self, saw: Saw) -> tuple[Stretch, ...]:
        """Its clear wood, between trimmed ends and bad stretches."""
        return clear_stretches(self.length, saw, self.bad)


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

    found = [
        Source(b.species, b.grade, b.size, b.thickness, b.width, b.length, NO_MONEY, 1, b.bad,
               b.hand, b.row)
        for b in bought
    ]  # fmt: skip
    taken = {one.hand for one in found} | {one.hand for one in fixed}
    found += [
        Source(b.species, b.grade, b.size, b.thickness, b.width, b.length, NO_MONEY, 1, b.bad,
               b.row)
        for b in books.on_hand
        if suits(b.species, b.grade) and b.job in ("", job) and b.row not in taken
    ]  # fmt: skip
    found += [
        Source(line.species, line.grade, line.size, line.thickness, line.width, length,
               line.price_of(length), count)
        for line in books.stock
        if suits(line.species, line.grade)
        for length, count in line.lengths
        if count != 0
    ]  # fmt: skip
    if not found:
        raise NotAllowed(NO_STOCK)
    return tuple(found)


def longest_of(
    every: Iterable[Source], saw: Saw, rip: RipSaw, thickness: Fraction, width: Fraction
) -> Fraction | None:
    """The longest clear wood of a thickness and at least a width; None where there is none."""
    return max(
        (
            stretch.length
            for one in every
            if one.thickness == thickness and clear_width(one.width, rip) >= width
            for stretch in one.stretches(saw)
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

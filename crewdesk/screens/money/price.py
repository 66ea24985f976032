"""The computed tabs of a job's money: its price with the reasons, and its progress."""

from collections.abc import Iterable
from decimal import Decimal
from fractions import Fraction
from typing import NamedTuple

from crewdesk.errors import CrewdeskError
from crewdesk.job.books.job_books import JobBooks
from crewdesk.job.books.pricing import Priced, accept, price_job, typed_rates
from crewdesk.paper.documents.estimate import (
    PriceRow,
    accepted_lines,
    estimate_letter,
    estimate_lines,
    joined_reasons,
    left_out_line,
    price_rows,
)
from crewdesk.paper.documents.letter import money
from crewdesk.paper.plain import plain
from crewdesk.screens.money.lists import Leaf, accepting
from crewdesk.screens.parts.ask import Field, ask_change
from crewdesk.screens.parts.lines import Row
from crewdesk.screens.parts.list_page import Column, fit, told_rows
from crewdesk.screens.parts.paper import ask_save_letter
from crewdesk.screens.parts.stick import AGREED, NOTCH, Part, ruled, span_stick, stick
from crewdesk.trade.books.dates import read_day
from crewdesk.trade.books.durations import short
from crewdesk.trade.books.invoice_lines import StageDone, part_done, percent_text
from crewdesk.trade.books.money import ZERO

_MONEY = 11
_NAMES, _ROOMY = range(20, 45), 28
"""The least and the most columns of a name, and how many of them are filled before the stick gets
longer."""
_COLUMNS = ("low", "likely", "high", "accepted")
_SIGNS = {1: f"{NOTCH} ", 3: f"{AGREED} "}
"""The marks of the prices on a stick, by their places in `_COLUMNS`."""
_LEFT_OUT = ("low", "high")
"""What is left out if there is no room for a stick beside all."""
_STICK = range(18, 61)
"""The columns of a stick from low to high."""


class PriceLeaf(Leaf[None]):
    """The price: change the job's rates, or keep the price as accepted."""

    NAME = "Price"
    CAN = ("change_here", "accept", "save")

    def heads_in(self, width: int) -> str:
        laid = _Laid(self.books, width)
        signs = _SIGNS if laid.stick and self._prices else {}
        named = [f"{signs.get(at, '')}{_COLUMNS[at]}" for at in laid.shown]
        heads = "".join(f"{one:>{_MONEY}}" for one in named)
        scale = ""
        if (most := _longest(self._prices)) and laid.stick:
            scale = f"  {'0'.ljust(laid.stick - len(money(most)) - 1)} {money(most)}"
        return f" {'':<{laid.names}}{heads}{scale}"

    @property
    def _found(self) -> "_Found":
        """The prices of the shown books, computed once."""
        if self._kept is None or self._kept.books is not self.books:
            self._kept = _found(self.books)
        return self._kept

    _kept: "_Found | None" = None

    @property
    def _prices(self) -> tuple[PriceRow, ...]:
        """Return the prices line by line; none without an estimate and a contract."""
        return self._found.rows

    def rows_in(self, width: int) -> list[Row]:
        books = self.books
        priced, why = self._found.priced, self._found.why
        accepted = books.record.accepted
        laid, prices = _Laid(books, width), self._prices
        most = _longest(prices)
        rows: list[Row] = []
        if why:
            rows += [*told_rows((why,), width, "text" if accepted else "set"), Row()]
        elif priced is not None and priced.left_out:
            rows += [*told_rows((f"! {left_out_line(priced.left_out)}",), width), Row()]
        for place, one in enumerate(prices[:-1]):
            if one.sum_ and not any(prices[-2].amounts):
                continue  # without tax the subtotal is the total, which stays in sight below
            cells = laid.cells(one, "strong" if one.sum_ else "text")
            drawn = [] if one.sum_ else laid.drawn(one, most)
            rows.append(Row(*cells, *drawn, key=f"price {place}"))
        if accepted is not None:
            rows += [Row(), *told_rows(accepted_lines(accepted), width)]
            rows += [Row(), Row(*ruled("Why it was so", width - 1))]
            rows += told_rows(joined_reasons(accepted.reasons), width)
        elif priced is not None:
            lines = [line.strip() for line in estimate_lines(books.record, priced)[2:]]
            rows += [Row(), Row(*ruled("Why", width - 1)), *told_rows(lines, width)]
        return rows

    def total(self, width: int) -> list[Part]:
        laid = _Laid(self.books, width)
        return [part for one in self._prices[-1:] for part in laid.cells(one, "strong")]

    def about(self) -> str:
        books, job = self.books, self.books.record.job
        hour = job.hour or books.books.shop.hour
        rate = "No hourly rate is set" if hour is None else f"{money(hour)} an hour"
        whose = " for this job" if job.hour else ", from Business settings" if hour else ""
        how = {"price": "by the accepted price", "rates": "by rates and hours worked"}.get(
            job.billing, "by the accepted price or else by rates"
        )
        alone = (
            "" if self.books.record.tables.get("materials") else " Labor alone: no material yet."
        )
        return f"{self._here_text()}{rate}{whose}; billed {how}.{alone}"

    def _here_text(self) -> str:
        """Return the prices of the line under the cursor that have no column."""
        sort, _, place = self.key.partition(" ")
        shown = _Laid(self.books, self.program.size.width - 1).shown
        if sort != "price":
            return ""
        one = self._prices[int(place)]
        found = [
            f"{name} {money(amount)}"
            for at, (name, amount) in enumerate(zip(_COLUMNS, one.amounts, strict=True))
            if amount is not None and at not in shown
        ]
        return f"{plain(one.text)}: {', '.join(found)}\n" if found else ""

    def change_here(self) -> None:
        """Ask for the job's own rates."""
        job, shop = self.books.record.job, self.books.books.shop
        usual = "" if shop.hour is None else (f"empty: {shop.hour}, from Business settings")
        ask_change(
            self.program,
            "The rates of this job",
            (
                Field("hour", "Hourly rate", "" if job.hour is None else str(job.hour), usual),
                Field(
                    "billing",
                    "Billed by",
                    job.billing,
                    "empty: by the price",
                    answers=("price", "rates"),
                ),
                Field("share", "Batch time is shared", job.share, answers=("length", "evenly")),
            ),
            lambda record, answer, now: typed_rates(
                record, answer["hour"], answer["billing"], answer["share"], now
            ),
        )

    def accept(self) -> None:
        """Ask who accepted the estimate, and when."""
        books = self.books
        priced, why = _priced(books)
        if priced is None:
            self.program.tell(why, "wrong")
            return
        ask_change(
            self.program,
            f"The customer has accepted the estimate of {money(priced.estimate.likely.total)}",
            accepting(books.record.job.customer, books.today),
            lambda record, answer, now: accept(
                record,
                priced,
                answer["by"],
                read_day(answer["on"], books.today),
                now,
                today=self.program.today,
            ),
            does="Save it as accepted",
            about="It is kept line by line; progress and final invoices use it."
            + (f"\n! {left_out_line(priced.left_out)}" if priced.left_out else ""),
        )

    def save(self) -> None:
        """Ask where to save the estimate."""
        books = self.books
        priced, why = _priced(books)
        if priced is None:
            self.program.tell(why, "wrong")
            return
        letter = estimate_letter(books.record, books.books, priced, books.today)
        ask_save_letter(self.program, letter, f"estimate-{books.id}")


class _Found(NamedTuple):
    """The estimate as of some books, or why there is none, and its prices line by line."""

    books: JobBooks
    priced: Priced | None
    why: str
    rows: tuple[PriceRow, ...]


def _found(books: JobBooks) -> _Found:
    """Compute the prices of some books."""
    priced, why = _priced(books)
    accepted = books.record.accepted
    none = priced is None and accepted is None
    rows = () if none else price_rows(books.record, priced, accepted)
    return _Found(books, priced, why, rows)


def _priced(books: JobBooks) -> tuple[Priced | None, str]:
    """Return the estimate as of now, or why there is none."""
    try:
        return price_job(books.record, books.books.shop, books.past), ""
    except CrewdeskError as refused:
        return None, str(refused)


def _longest(prices: Iterable[PriceRow]) -> Decimal:
    """Return the largest price of a line, which is the stick's length."""
    every = (one.amounts for one in prices if not one.sum_)
    return max((each for four in every for each in four if each is not None), default=ZERO)


class _Laid:
    """The layout of a line of prices: the columns of its name, the prices that fit, by their places
    in `_COLUMNS`, and the columns of its stick; a price is never cut."""

    def __init__(self, books: JobBooks, width: int) -> None:
        accepted = books.record.accepted is not None
        shown = [at for at, one in enumerate(_COLUMNS) if accepted or one != "accepted"]
        room = width - 4 - _NAMES.start
        if room - _MONEY * len(shown) < _STICK.start:
            shown = [at for at in shown if _COLUMNS[at] not in _LEFT_OUT]
        left = room - _MONEY * len(shown)
        self.shown = shown
        drawn = left >= _STICK.start
        more = min(left - _STICK.start, _ROOMY - _NAMES.start) if drawn else left + 2
        more = max(more, left - _STICK.stop)
        self.names = min(_NAMES.start + max(more, 0), _NAMES.stop)
        self.stick = min(left - (self.names - _NAMES.start), _STICK.stop) * drawn

    def cells(self, one: PriceRow, ink: str) -> list[Part]:
        """Return a line's name, and its prices beside it."""
        inks = ("strong",) * 4 if one.sum_ else ("muted", "text", "muted", "strong")
        cells = [(f"{one.prices[at]:>{_MONEY}}", inks[at]) for at in self.shown]
        return [(f" {fit(plain(one.text), self.names)}", ink), *cells]

    def drawn(self, one: PriceRow, most: Decimal) -> list[Part]:
        """Return a line's stick from low to high, with a notch at the likely."""
        low, likely, high, accepted = one.amounts
        if low is None or likely is None or high is None or not self.stick:
            return []
        return [("  ", "text"), *span_stick(low, likely, high, most, self.stick, mark=accepted)]


class DoneLeaf(Leaf[StageDone]):
    """A bar for each stage, from the run sheet's check-offs."""

    NAME = "Done"
    CAN = ()
    NONE = "No beam yet, so there is nothing to do."

    def things(self) -> tuple[StageDone, ...]:
        books = self.books
        return books.done

    def key_of(self, one: StageDone) -> str:
        return one.stage

    def columns(self, width: int) -> tuple[Column[StageDone], ...]:
        return (
            Column("", 20, self._name),
            Column("done", -6, lambda one: percent_text(one.part), "strong"),
            Column("", _stick_width(width) + 4, lambda _: ""),
            Column("should take", -14, self._time, "muted"),
        )

    def _name(self, one: StageDone) -> str:
        return self.books.record.stages.name_of(one.stage) if one.stage else "Whole job"

    def _time(self, one: StageDone) -> str:
        if not one.stage:
            return ""
        return short(round(one.minutes) * 60) if one.minutes else "no time"

    def rows_in(self, width: int) -> list[Row]:
        done = self.things()
        if not done:
            return super().rows_in(width)
        return [Row(*self._drawn(one, width), key=one.stage) for one in done]

    def _drawn(self, one: StageDone, width: int) -> list[Part]:
        """Return a stage's line, with its stick in place of the column that has none."""
        name, percent, _, time = (column.cell(one) for column in self.columns(width))
        drawn = stick(one.part, 1, 1, _stick_width(width))
        return [(" ", "text"), name, percent, ("  ", "text"), *drawn, ("  ", "text"), time]

    def total(self, width: int) -> list[Part]:
        done = self.things()
        return self._drawn(StageDone("", Fraction(0), part_done(done)), width) if done else []

    def about(self) -> str:
        whose = "the accepted estimate's" if self.books.record.accepted else "your stage rates'"
        return f"Steps done, each weighted by {whose} minutes."


def _stick_width(width: int) -> int:
    """Return the columns of a stage's stick: the space left by names and figures."""
    return min(max(width - 47, 8), 60)

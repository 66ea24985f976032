"""The leaves of a job's money that are figured: its price with the reasons, and how far it is."""

from fractions import Fraction

from crewdesk.errors import CrewdeskError
from crewdesk.job.books.job_books import JobBooks
from crewdesk.job.books.pricing import Priced, accept, price_job, typed_rates
from crewdesk.paper.documents.estimate import (
    accepted_lines,
    estimate_letter,
    estimate_lines,
    price_rows,
)
from crewdesk.paper.documents.letter import money
from crewdesk.screens.money.lists import Leaf, accepting
from crewdesk.screens.parts.ask import Field, ask_change
from crewdesk.screens.parts.lines import Row
from crewdesk.screens.parts.list_page import Column, told_rows
from crewdesk.screens.parts.paper import ask_save_letter
from crewdesk.trade.books.dates import read_day
from crewdesk.trade.books.durations import short
from crewdesk.trade.books.invoice_lines import StageDone, part_done

_MONEY = 12
_NAMES = range(20, 45)
_COLUMNS = ("low", "likely", "high", "accepted")
_LEFT_OUT = ("low", "high")
"""What is left out where there is no room for all, the first one first."""


class PriceLeaf(Leaf[None]):
    """The rates of the job can be changed, and the price kept as it was accepted."""

    NAME = "Price"
    CAN = ("change_here", "accept", "save")

    def heads_in(self, width: int) -> str:
        shown = _shown(self.books, width)
        heads = "".join(f"{_COLUMNS[at]:>{_MONEY}}" for at in shown)
        return f" {'':<{_wide(shown, width)}}{heads}"

    def rows_in(self, width: int) -> list[Row]:
        books = self.books
        priced, why = _priced(books)
        accepted = books.record.accepted
        shown = _shown(books, width)
        wide = _wide(shown, width)
        rows: list[Row] = []
        if why:
            rows += [*told_rows((why,), width), Row()]
        if priced is not None or accepted is not None:
            for place, one in enumerate(price_rows(books.record, priced, accepted)):
                inks = ("strong",) * 4 if one.strong else ("muted", "text", "muted", "strong")
                cells = ((f"{one.prices[at]:>{_MONEY}}", inks[at]) for at in shown)
                text = (f" {one.text:<{wide}.{wide}}", "strong" if one.strong else "text")
                rows.append(Row(text, *cells, key=f"price {place}"))
        if accepted is not None:
            rows += [Row(), *told_rows(accepted_lines(accepted), width)]
            rows += [
                Row(),
                Row((" Why it was so", "head")),
                *told_rows(accepted.reasons, width),
            ]
        elif priced is not None:
            told = [line.strip() for line in estimate_lines(books.record, priced)[2:]]
            rows += [Row(), Row((" Why", "head")), *told_rows(told, width)]
        return rows

    def about(self) -> str:
        books, job = self.books, self.books.record.job
        hour = job.hour or books.books.shop.hour
        rate = "No hourly rate is set" if hour is None else f"{money(hour)} an hour"
        whose = " for this job" if job.hour else ", from Business settings" if hour else ""
        how = {"price": "by the accepted price", "rates": "by rates and hours worked"}.get(
            job.billing, "by the accepted price, or by rates without one"
        )
        then = (
            "The accepted price is kept, whatever you estimate now."
            if books.record.accepted
            else self.keyed(
                "Press {accept} to save it as accepted, {save} to save the estimate for signing."
            )
        )
        changes = self.keyed("Press {open} to change the rates.")
        return f"{rate}{whose}.  {changes}\nBilled {how}.\n{then}"

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
            about="It is kept line by line; progress and final invoices use it.",
        )

    def save(self) -> None:
        """Ask where the estimate's sheet goes."""
        books = self.books
        priced, why = _priced(books)
        if priced is None:
            self.program.tell(why, "wrong")
            return
        letter = estimate_letter(books.record, books.books, priced, books.today)
        ask_save_letter(self.program, letter, f"estimate-{books.id}")


def _priced(books: JobBooks) -> tuple[Priced | None, str]:
    """The estimate as of now, or else why there is none."""
    try:
        return price_job(books.record, books.books.shop, books.past), ""
    except CrewdeskError as refused:
        return None, str(refused)


def _shown(books: JobBooks, width: int) -> list[int]:
    """Which prices there is room for, by their places in `_COLUMNS`; a price is never cut."""
    shown = [at for at, one in enumerate(_COLUMNS) if books.record.accepted or one != "accepted"]
    for left_out in _LEFT_OUT:
        if width - 2 - _MONEY * len(shown) < _NAMES.start:
            shown.remove(_COLUMNS.index(left_out))
    return shown


def _wide(shown: list[int], width: int) -> int:
    """The columns of the names: what the prices leave."""
    left = width - 2 - _MONEY * len(shown)
    return min(max(left, _NAMES.start), _NAMES.stop)


class DoneLeaf(Leaf[StageDone]):
    """A bar for each stage, out of the run sheet's ticks."""

    NAME = "Done"
    CAN = ()
    NONE = "No beam yet, so there is nothing to do."

    def things(self) -> tuple[StageDone, ...]:
        books = self.books
        return books.done

    def key_of(self, one: StageDone) -> str:
        return one.stage

    def columns(self, width: int) -> tuple[Column[StageDone], ...]:
        wide = min(max(width - 48, 8), 30)  # what the names and the figures leave
        return (
            Column("", 16, self._name),
            Column("done", -7, lambda one: f"{int(one.part * 100)} %", "strong"),
            Column("", wide + 2, lambda one: f"  {_bar(float(one.part), wide)}", "made"),
            Column("should take", -20, self._time, "muted"),
        )

    def _name(self, one: StageDone) -> str:
        return self.books.record.stages.name_of(one.stage) if one.stage else "Whole job"

    def _time(self, one: StageDone) -> str:
        if not one.stage:
            return ""
        return short(round(one.minutes) * 60) if one.minutes else "no time"

    def rows_in(self, width: int) -> list[Row]:
        rows, done = super().rows_in(width), self.things()
        if not done:
            return rows
        whole = StageDone("", Fraction(0), part_done(done))
        (name, _), *cells = (column.cell(whole) for column in self.columns(width))
        return [*rows, Row(), Row((f" {name}", "strong"), *cells, key="whole")]

    def about(self) -> str:
        whose = "the accepted estimate's" if self.books.record.accepted else "your stage rates'"
        return f"Steps done, each weighted by {whose} minutes.\nPercents are rounded down."


def _bar(part: float, wide: int) -> str:
    filled = int(part * wide)
    return "━" * filled + "┄" * (wide - filled)

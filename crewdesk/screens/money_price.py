"""The price of a job: low, likely and high with the reasons, and what was accepted."""

from crewdesk.errors import CrewdeskError
from crewdesk.job.books.job_money import typed_rates
from crewdesk.job.books.priced import Priced, accept, price_job
from crewdesk.paper.estimate import accepted_lines, estimate_letter, estimate_lines, price_rows
from crewdesk.paper.letter import money
from crewdesk.screens.ask import Line
from crewdesk.screens.ask_change import ask_change
from crewdesk.screens.leaf import Leaf, told_rows
from crewdesk.screens.lines import Row
from crewdesk.screens.save_as import ask_save_letter
from crewdesk.store.books import JobBooks
from crewdesk.trade.books.dates import read_day

_MONEY = 12
_NAMES = range(20, 45)
_COLUMNS = ("low", "likely", "high", "accepted")
_LEFT_OUT = ("low", "high")
"""What is left out where there is no room for all, the first one first."""


class PriceLeaf(Leaf):
    """Enter changes the rates of the job; y keeps the price as it was accepted."""

    NAME = "Price"

    def heads(self, books: JobBooks, width: int) -> str:
        shown = _shown(books, width)
        heads = "".join(f"{_COLUMNS[at]:>{_MONEY}}" for at in shown)
        return f" {'':<{_wide(shown, width)}}{heads}"

    def rows(self, books: JobBooks, width: int) -> list[Row]:
        priced, why = _priced(books)
        accepted = books.record.accepted
        shown = _shown(books, width)
        wide = _wide(shown, width)
        rows: list[Row] = []
        if why:
            rows += [*told_rows((why,), width), Row(())]
        if priced is not None or accepted is not None:
            for place, one in enumerate(price_rows(books.record, priced, accepted)):
                inks = ("strong",) * 4 if one.strong else ("muted", "text", "muted", "strong")
                cells = ((f"{one.prices[at]:>{_MONEY}}", inks[at]) for at in shown)
                text = (f" {one.text:<{wide}.{wide}}", "strong" if one.strong else "text")
                rows.append(Row((text, *cells), f"price {place}"))
        if accepted is not None:
            rows += [Row(()), *told_rows(accepted_lines(accepted), width)]
            rows += [
                Row(()),
                Row(((" Why it was so", "head"),)),
                *told_rows(accepted.reasons, width),
            ]
        elif priced is not None:
            told = [line.strip() for line in estimate_lines(books.record, priced)[2:]]
            rows += [Row(()), Row(((" Why", "head"),)), *told_rows(told, width)]
        return rows

    def about(self, books: JobBooks, key: str) -> str:
        job = books.record.job
        hour = job.hour or books.books.shop.hour
        rate = "No hourly rate is set" if hour is None else f"{money(hour)} an hour"
        whose = " of this job's own" if job.hour else ", the shop's rate" if hour else ""
        how = {"price": "by the accepted price", "rates": "by rates and hours worked"}.get(
            job.billing, "by the accepted price, by rates without one"
        )
        then = (
            "The accepted price stands, whatever is estimated now."
            if books.record.accepted
            else self.keyed("{accept} keeps it as accepted; {save} saves the sheet that is signed.")
        )
        changes = self.keyed("{open} changes the rates.")
        return f"{rate}{whose}.  {changes}\nBilled {how}.\n{then}"

    def change(self, books: JobBooks, key: str) -> None:
        """Ask for the job's own rates."""
        job, shop = books.record.job, books.books.shop
        usual = "" if shop.hour is None else f"empty: the shop's {shop.hour}"
        ask_change(
            self.app,
            "The rates of this job",
            (
                Line("hour", "An hour costs", "" if job.hour is None else str(job.hour), usual),
                Line("billing", "Billed by", job.billing, "price, rates; empty: by the price"),
                Line("share", "Batch time is shared", job.share, "length or evenly"),
            ),
            lambda record, answer, now: typed_rates(
                record, answer["hour"], answer["billing"], answer["share"], now
            ),
        )

    def accept(self, books: JobBooks, key: str) -> None:
        """Ask who accepted the estimate, and when."""
        priced, why = _priced(books)
        if priced is None:
            self.app.tell(why, "wrong")
            return
        ask_change(
            self.app,
            f"The estimate of {money(priced.estimate.likely.total)} is accepted",
            (
                Line("by", "By", books.record.job.customer, "a name"),
                Line("on", "On", f"{books.today}", "today, yesterday, mon, 3/9, 2026-03-09"),
            ),
            lambda record, answer, now: accept(
                record,
                priced,
                answer["by"],
                read_day(answer["on"], books.today),
                now,
                today=self.app.today,
            ),
            does="Keep it as accepted",
            about="It is kept as it is, line by line; progress and final invoices go by it.",
        )

    def save(self, books: JobBooks, key: str) -> None:
        """Ask where the estimate's sheet goes."""
        priced, why = _priced(books)
        if priced is None:
            self.app.tell(why, "wrong")
            return
        letter = estimate_letter(books.record, books.books, priced, books.today)
        ask_save_letter(self.app, letter, f"estimate-{books.id}")


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

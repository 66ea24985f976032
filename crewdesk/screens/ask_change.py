"""A question whose answer is a change: what will not do is told in place, before it closes."""

from collections.abc import Callable, Mapping, Sequence
from datetime import datetime

from crewdesk.job.books.shop_record import ShopRecord
from crewdesk.job.change import Change, rows_after
from crewdesk.job.record import Record
from crewdesk.screens.ask import Answer, Ask, Line
from crewdesk.screens.program import Program


def ask_change(
    app: Program,
    title: str,
    lines: Sequence[Line],
    act: Callable[[Record, Answer, datetime], Change],
    *,
    does: str = "Save",
    about: str = "",
    asks: Callable[[Answer], Mapping[str, str]] | None = None,
    choose: Callable[[Answer], Mapping[str, str]] | None = None,
    then: Callable[[Change], None] | None = None,
) -> None:
    """Ask, and make the change of the job that `act` gives for the answer; `asks` and
    `choose` as in `Ask`.
    `then` is called with the change once it is made."""

    def check(answer: Answer) -> None:
        record = app.record
        record.check(rows_after(record.tables, act(record, answer, app.now())))

    def given(answer: Answer | None) -> None:
        if answer is None:
            return
        made: list[Change] = []

        def make(record: Record, now: datetime) -> Change:
            made.append(act(record, answer, now))
            return made[-1]

        if app.do(make) and then:
            then(made[-1])

    app.push_screen(
        Ask(title, tuple(lines), check, does=does, about=about, asks=asks, choose=choose),
        callback=given,
    )


def ask_shop_change(
    app: Program,
    title: str,
    lines: Sequence[Line],
    act: Callable[[ShopRecord, Answer, datetime], Change],
    *,
    does: str = "Save",
    about: str = "",
    live: Callable[[Answer], str] | None = None,
) -> None:
    """Ask, and make the change of the shop that `act` gives for the answer; `live` as in `Ask`."""

    def check(answer: Answer) -> None:
        books = app.desk.shop.record()
        books.check(rows_after(books.tables, act(books, answer, app.now())))

    def given(answer: Answer | None) -> None:
        if answer is not None:
            app.do_shop(lambda books, now: act(books, answer, now))

    app.push_screen(
        Ask(title, tuple(lines), check, does=does, about=about, live=live), callback=given
    )

"""Every call of the system while the shop's documents are issued, credited and paid.

Each call fails once, or the program is killed there. What was acknowledged is there once, what
was told as not saved is not there, and the rest can be done then: no number is given twice or
left out, no payment is doubled, and what is owed is what was done.
"""

import sys
from collections.abc import Callable
from contextlib import AbstractContextManager
from decimal import Decimal
from functools import partial
from pathlib import Path

from crewdesk.errors import CrewdeskError, Damaged, NotSaved, ReadOnly
from crewdesk.job.books import ledger as trail
from crewdesk.job.books.documents import credit_invoice, issue_invoice, void_invoice
from crewdesk.job.books.payments import pay
from crewdesk.store.desk import Desk
from crewdesk.store.integrity import check
from crewdesk.store.shop_file import Act
from crewdesk.trade.books.invoice import Draft
from crewdesk.trade.books.invoice_lines import Line
from tests.bench.trust.count import Count
from tests.bench.trust.faults import (
    DONE,
    STOPPED,
    begun,
    calls_of,
    copied,
    in_fork,
    once,
    watched,
    ways_wrong,
)
from tests.bench.trust.kills import NOW

TODAY = NOW.date()
Wrong = Callable[[], AbstractContextManager[None]]
"""What goes wrong as long as it lasts."""
SAVED, NOT_SAVED, UNSURE = "saved", "not saved", "unsure"


def _issue(who: str, amount: str) -> Act:
    lines = (Line("fixed", "Work", Decimal(amount), taxed=False),)
    draft = Draft("progress", "hill", who, lines, (), Decimal(0))
    return lambda books, at: issue_invoice(books, draft, trail.Letterhead(), TODAY, at)


def _credit(number: int, amount: str, why: str) -> Act:
    amounts = (Decimal(amount),)
    return lambda books, at: credit_invoice(books, number, why, TODAY, at, amounts=amounts)


def _pay(number: int, amount: str, note: str) -> Act:
    return lambda books, at: pay(books, number, Decimal(amount), TODAY, at, note=note)


def _void(number: int, why: str) -> Act:
    return lambda books, at: void_invoice(books, number, why, TODAY, at)


BEFORE = (_issue("Ada Quill", "900.00"), _pay(1, "100.00", "first"))
ACTS: dict[str, tuple[Act, ...]] = {
    "an invoice issued": (_issue("Bo Marsh", "50.00"),),
    "an invoice credited": (_credit(1, "20.00", "short"),),
    "an invoice paid": (_pay(1, "70.00", "second"),),
    "all three, and one void": (
        _issue("Bo Marsh", "50.00"),
        _pay(2, "30.00", "half"),
        _credit(1, "20.00", "short"),
        _issue("Cy Reed", "10.00"),
        _void(4, "wrong"),
    ),
}


def money(
    folder: Path, acts: tuple[str, ...] = (), least: int = 400, *, every: int = 1
) -> list[Count]:
    """Let every call of some acts (of all, where none is named) go wrong in every way, or in each
    so many-th of these."""
    desk = begun(folder / "begun")
    for act in BEFORE:
        desk.shop.make(act, NOW)
    tried = killed = lost = 0
    for name in acts or ACTS:
        there = copied(desk, folder)
        calls = calls_of(lambda there=there, name=name: [told_of(there, a) for a in ACTS[name]])
        want = books(there)
        assert {"fsync", "open"} <= set(calls), (name, calls)
        for wrong in ways_wrong(calls, every):
            tried, killed = tried + 1, killed + wrong[-1].startswith("stops")
            try:
                one_wrong(copied(desk, folder), ACTS[name], partial(_watched, wrong), want)
            except (AssertionError, CrewdeskError) as error:
                lost += 1
                print(f"{name}: {wrong}: {error}", file=sys.stderr)
    return [
        Count("calls that failed, or a kill there, as money was noted", tried, least),
        Count("of them kills", killed, least // 3),
        Count("of them with money lost, doubled or numbered wrong", lost, 0, most=True),
    ]


def _watched(wrong: tuple[str, int, str]) -> AbstractContextManager[None]:
    return watched(once(*wrong))


def told_of(desk: Desk, act: Act) -> str:
    """Make a change of the shop; gives what was told of it."""
    try:
        desk.shop.make(act, NOW)
    except NotSaved as error:
        return UNSURE if error.unsure else NOT_SAVED
    except (ReadOnly, Damaged, OSError):
        return NOT_SAVED
    return SAVED


def books(desk: Desk) -> list[object]:
    """What stands in the shop's books: every document and payment, in their order."""
    books = desk.shop.record()
    return [*books.trail, *books.payments]


def one_wrong(desk: Desk, acts: tuple[Act, ...], wrong: Wrong, want: object) -> None:
    """Do acts in a forked program while something goes `wrong`; raises `AssertionError` where
    what stands after that is not what was told, or not what is `want`ed once all is done."""
    told = desk.folder.with_name("told")
    told.write_text("")
    status = in_fork(partial(_in_child, desk, acts, told, wrong), "the program")
    tellings = told.read_text().splitlines()
    made = tellings.count(SAVED)
    there = _there(desk)
    least, most = made, made + (status == STOPPED or UNSURE in tellings)
    assert least <= there <= most, f"{made} acknowledged ({tellings}), {there} are there"
    if status == STOPPED:
        assert all(one.sound for one in check(desk)), "a file is called wrong"
    for act in acts[there:]:
        assert told_of(desk, act) == SAVED, "the rest can't be done"
    assert books(desk) == want, "not what was done"
    numbers = [one.number for one in desk.shop.record().trail]
    assert numbers == list(range(1, len(numbers) + 1)), f"numbers are {numbers}"
    assert all(one.sound for one in check(desk)), "a file is called wrong at the end"


def _there(desk: Desk) -> int:
    """How many of the acts stand: each made one change more."""
    return len([one for one in desk.shop.history() if one.edits]) - len(BEFORE)


def _in_child(desk: Desk, acts: tuple[Act, ...], told: Path, wrong: Wrong) -> int:
    with told.open("a", buffering=1) as file, wrong():
        for act in acts:
            word = told_of(desk, act)
            file.write(word + "\n")
            if word != SAVED:
                break
    return DONE

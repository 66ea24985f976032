"""Three machines that give numbers to documents while they are apart: after any syncs all have the
same books, each paper's numbers lead to it, and what was paid and credited is where it was."""

import random
import shutil
from datetime import datetime, timedelta
from decimal import Decimal
from pathlib import Path

import pytest

from crewdesk.errors import Damaged
from crewdesk.job.books.documents import (
    credit_invoice,
    issue_invoice,
    numbers_changed,
    void_invoice,
)
from crewdesk.job.books.ledger import Letterhead
from crewdesk.job.books.payments import pay
from crewdesk.job.books.shop_record import ShopRecord
from crewdesk.job.change import edit
from crewdesk.job.sync.conflicts import put_in, unsettled
from crewdesk.paper.documents.invoice import invoice_letter
from crewdesk.store.desk import Desk
from crewdesk.trade.books.accounts import standings
from crewdesk.trade.books.invoice import Draft, Issued
from crewdesk.trade.books.invoice_lines import Line
from tests.two_papers import bring, invoiced

NAMES = ("ada", "bo", "cy")
STEPS = 24


def apart(folder: Path, now: datetime, *names: str) -> list[Desk]:
    """Machines with the same shop, which has no document yet."""
    first = Desk(folder / names[0], names[0])
    first.shop.change(now, name="Quill Beams")
    for one in names[1:]:
        shutil.copytree(first.folder, folder / one)
    return [first, *(Desk(folder / one, one) for one in names[1:])]


def numbers(desk: Desk) -> dict[str, int]:
    """The number of each customer's invoice, of whom each has one."""
    trail = desk.shop.record().trail
    return {one.draft.customer: one.number for one in trail if isinstance(one, Issued)}


def all_together(desks: list[Desk], at: datetime) -> None:
    """Bring all to all, and save it everywhere, until nothing is news."""
    for _ in range(4):
        for one in desks:
            for other in desks:
                if one is not other:
                    bring(one, other)
        for one in desks:
            one.shop.take_in(at)


class Walk:
    """Documents, payments and syncs, drawn; each machine's clock is off by itself."""

    def __init__(self, folder: Path, now: datetime, seed: int) -> None:
        self.chance, self.at = random.Random(seed), now
        if seed % 3:
            self.desks = apart(folder, now, *NAMES)
        else:  # each machine's shop was begun there
            self.desks = [Desk(folder / one, one) for one in NAMES]
        self.off = {one: timedelta(minutes=self.chance.randrange(-90, 90)) for one in NAMES}
        self.notes: dict[str, str] = {}
        self.papers: set[tuple[str, int]] = set()
        self.count = 0
        self.late: list[tuple[Path, bytes]] = []

    def step(self) -> None:
        one = self.chance.choice(self.desks)
        acts = (self.issue, self.money, self.beside, self.sync)
        try:
            self.chance.choices(acts, (30, 30, 5, 35))[0](one)
        except Damaged as damaged:
            if "hasn't arrived yet" not in damaged.why:  # the history of a shop begun elsewhere
                raise

    def now(self, desk: Desk) -> datetime:
        self.at += timedelta(minutes=1)
        return self.at + self.off[desk.machine]

    def issue(self, desk: Desk) -> None:
        self.count += 1
        invoiced(desk, f"Customer {self.count}", "Hill house", self.now(desk))
        self.note_papers(desk)

    def money(self, desk: Desk) -> None:
        invoices = [*numbers(desk).items()]
        if not invoices:
            return
        (who, number), self.count = self.chance.choice(invoices), self.count + 1
        note, amount, now = f"note {self.count}", Decimal("1.00"), self.now(desk)
        on = now.date()
        if self.chance.random() < 0.6:
            desk.shop.make(lambda r, at: pay(r, number, amount, on, at, note=note), now)
        else:
            desk.shop.make(
                lambda r, at: credit_invoice(r, number, note, on, at, amounts=(amount,)), now
            )
        self.notes[note] = who
        self.note_papers(desk)

    def beside(self, desk: Desk) -> None:
        desk.shop.change(self.now(desk), who=f"Person {self.chance.randrange(9)}")
        self.note_papers(desk)

    def sync(self, desk: Desk) -> None:
        """Some of a machine's files come to another, some of them only later."""
        to = self.chance.choice([one for one in self.desks if one is not desk])
        for path in sorted(desk.shop_path.parent.glob(f"{desk.machine}.*")):
            there = to.shop_path.parent / path.name
            if path.suffix != ".lock" and self.chance.random() < 0.8:
                self.late.append((there, path.read_bytes()))
        while self.late and self.chance.random() < 0.8:
            there, data = self.late.pop(self.chance.randrange(len(self.late)))
            half = self.chance.random() < 0.1
            there.parent.mkdir(exist_ok=True)
            there.write_bytes(data[: self.chance.randrange(len(data))] if half else data)

    def note_papers(self, desk: Desk) -> None:
        self.papers |= set(numbers(desk).items())


def landed(books: ShopRecord) -> dict[str, str]:
    """Whose invoice each payment and each credit is on, by its note."""
    whose = {one.number: one.draft.customer for one in books.trail if isinstance(one, Issued)}
    found = {one.note: whose[one.invoice] for one in books.payments}
    return found | {one.reason: whose[one.of] for one in books.trail if not isinstance(one, Issued)}


@pytest.mark.parametrize("seed", range(10))
def test_all_have_the_same_books_in_the_end(tmp_path, now, seed) -> None:
    walk = Walk(tmp_path, now, seed)
    for _ in range(STEPS):
        walk.step()
    settled: dict[str, int] = {}
    for _ in range(2):
        all_together(walk.desks, walk.at + timedelta(hours=2))
        texts = {one.shop_path.with_suffix(".history").read_bytes() for one in walk.desks}
        assert len(texts) == 1, "the machines differ"
        books = ShopRecord({})
        for change in walk.desks[0].shop.history():  # a sync may bring it only half
            books.make(change, sound=False)
            assert [one.number for one in books.trail] == [*range(1, len(books.trail) + 1)]
            assert landed(books).items() <= walk.notes.items()
        assert books.tables == walk.desks[0].shop.record().tables
        assert landed(books) == walk.notes
        known = {
            (one.document.draft.customer, number)
            for one in books.documents
            if isinstance(one.document, Issued)
            for number in (one.document.number, *one.was)
        }
        assert walk.papers <= known, "a paper's number leads nowhere"
        assert settled.items() <= numbers(walk.desks[0]).items(), "a number that all had changed"
        settled = numbers(walk.desks[0])
        walk.at += timedelta(days=1)
        for _ in range(STEPS):
            walk.step()


def test_a_machine_that_comes_last_moves_one_number_alone(tmp_path, now) -> None:
    """Dan issued before all others, and was away until they had agreed on their numbers."""
    *three, dan = apart(tmp_path, now, *NAMES, "dan")
    invoiced(dan, "Dan's", "Hill house", now)
    for minute, one in enumerate(three, 1):
        invoiced(one, f"{one.machine}'s", "Hill house", now + timedelta(minutes=minute))
    all_together(three, now + timedelta(hours=1))
    assert numbers(three[0]) == {"ada's": 1, "bo's": 2, "cy's": 3}
    all_together([*three, dan], now + timedelta(hours=2))
    for one in (*three, dan):
        assert numbers(one) == {"Dan's": 1, "ada's": 4, "bo's": 2, "cy's": 3}
        assert [headed.was for headed in one.shop.record().documents] == [(), (1,), (1,), (1,)]


def test_the_first_document_keeps_its_number_whatever_else_was_changed_before(
    tmp_path, now
) -> None:
    ada, bo = apart(tmp_path, now, "ada", "bo")
    ada.shop.change(now, who="Ada")
    invoiced(bo, "bo's", "Hill house", now + timedelta(minutes=1))
    invoiced(ada, "ada's", "Hill house", now + timedelta(minutes=2))
    before = {one.machine: one.shop.record() for one in (ada, bo)}
    all_together([ada, bo], now + timedelta(hours=1))
    for one in (ada, bo):
        assert numbers(one) == {"bo's": 1, "ada's": 2}
        assert one.shop.shop().who == "Ada"
    assert numbers_changed(before["bo"], bo.shop.record()) == []
    (told,) = numbers_changed(before["ada"], ada.shop.record())
    assert "because another computer used number 1 too" in told


def test_a_document_that_is_kept_apart_leaves_no_gap(tmp_path, now) -> None:
    """As where a whole copy without its history comes in, a document is part of a larger change."""
    ada, bo = apart(tmp_path, now, "ada", "bo")
    invoiced(ada, "ada's", "Hill house", now)
    ada.shop.change(now, who="Ada")
    for minute, who in enumerate(("first", "apart", "last"), 1):
        at = now + timedelta(minutes=minute)
        if who != "apart":
            invoiced(bo, who, "Hill house", at)
            continue
        draft = Draft(
            "progress", "hill", who, (Line("fixed", "Work", Decimal("9.00"), taxed=False),)
        )
        bo.shop.make(
            lambda r, at, draft=draft: issue_invoice(
                r, draft, Letterhead(), at.date(), at
            )._replace(
                edits=(
                    *issue_invoice(r, draft, Letterhead(), at.date(), at).edits,
                    edit(r.tables, ("shop", "1", "who"), "Bo"),
                )
            ),
            at,
        )
    for number, note in ((2, "apart"), (3, "last"), (1, "first")):
        bo.shop.make(
            lambda r, at, number=number, note=note: pay(
                r, number, Decimal("5.00"), at.date(), at, note=note
            ),
            at,
        )
    ada.shop.make(lambda r, at: pay(r, 1, Decimal("5.00"), at.date(), at, note="ada's"), now)
    all_together([ada, bo], now + timedelta(hours=1))
    assert numbers(ada) == numbers(bo) == {"ada's": 1, "first": 2, "last": 3}
    assert landed(bo.shop.record()) == {one: one for one in ("ada's", "first", "last")}
    (kept,) = unsettled(bo.shop.record())
    bo.shop.make(lambda r, at: put_in(r, kept.row, at), now + timedelta(hours=2))
    assert numbers(bo) == {"ada's": 1, "first": 2, "last": 3, "apart": 4}
    assert bo.shop.record().headed(4).was == (2,)
    assert landed(bo.shop.record()) == {one: one for one in ("ada's", "first", "last", "apart")}


def test_an_invoice_that_two_machines_void_is_taken_back_once(tmp_path, now) -> None:
    """Each void took back all that was left, as far as its machine knew."""
    desks = apart(tmp_path, now, "ada", "bo")
    on = now.date()
    for who in ("twice", "credited too", "credited twice"):
        invoiced(desks[0], who, "Hill house", now)
    all_together(desks, now)
    part = (Decimal("60.00"),)
    for minute, desk in enumerate(desks, 1):
        why = f"told to {desk.machine}"
        acts = [
            lambda r, at, why=why: void_invoice(r, 1, why, on, at),
            lambda r, at, why=why: credit_invoice(r, 3, why, on, at, amounts=part),
        ]
        if desk is desks[0]:
            acts.append(lambda r, at: void_invoice(r, 2, "wrong", on, at))
        else:
            acts.append(lambda r, at: credit_invoice(r, 2, "short", on, at, amounts=part))
        for act in acts:
            desk.shop.make(act, now + timedelta(minutes=minute))
    all_together(desks, now + timedelta(hours=1))
    for desk in desks:
        books = desk.shop.record()
        every = standings(books.trail, books.payments, on)
        # What two machines credited stays credited: both wrote to the customer that it would be.
        assert [one.balance for one in every] == [0, 0, Decimal("-20.00")]
        assert sum(one.total for one in books.trail) == Decimal("-20.00")
        assert sorted(one.total for one in books.trail if one.number > 3) == [
            Decimal(one) for one in ("-100.00", "-60.00", "-60.00", "-60.00", "-40.00", "0.00")
        ]
        assert books.left_of(1) == books.left_of(2) == (0,)
        (second,) = (one for one in books.documents if not one.document.total)
        letter = invoice_letter(second, books, on, preview=False)
        assert "Invoice 1 was voided before, so nothing was left to take back." in letter.notes


@pytest.mark.parametrize("first", ["ada", "bo"])
@pytest.mark.parametrize("also_issued", [False, True])
def test_a_first_number_set_elsewhere_does_not_close_the_ledger(
    tmp_path, now, first, also_issued
) -> None:
    ada, bo = apart(tmp_path, now, "ada", "bo")
    invoiced(ada, "ada's", "Hill house", now + timedelta(minutes=1 if first == "ada" else 5))
    bo.shop.change(now + timedelta(minutes=2), first_number="500")
    if also_issued:
        invoiced(bo, "bo's", "Hill house", now + timedelta(minutes=3))
    all_together([ada, bo], now + timedelta(hours=1))
    for desk in (ada, bo):
        invoiced(desk, f"later on {desk.machine}", "Hill house", now + timedelta(hours=2))
        all_together([ada, bo], now + timedelta(hours=2))
    trail = [one.number for one in ada.shop.record().trail]
    begins = 500 if also_issued and first == "bo" else 1
    assert trail == [*range(begins, begins + 3 + also_issued)]
    assert numbers(ada) == numbers(bo)

"""The trail of money in the shop: numbers in order, nothing issued ever changes, undo."""

import json
import subprocess
import sys
from datetime import datetime, timedelta
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from crewdesk.errors import BadInput, NotAllowed, NotSaved
from crewdesk.job.books import ledger as trail
from crewdesk.job.books.documents import credit_invoice, issue_invoice, void_invoice
from crewdesk.job.books.payments import pay
from crewdesk.job.books.shop_lists import keep_customer
from crewdesk.job.change import Change, edit
from crewdesk.trade.books.accounts import standing
from crewdesk.trade.books.invoice import Draft
from crewdesk.trade.books.invoice_lines import ExtraLine, Line

D = Decimal
ROOT = Path(__file__).parents[2]
HEAD = trail.Letterhead(name="Quill Beams", licence="B-1234", job_name="Hill house")


def draft(*amounts: str, rate: str = "7.5", extras: tuple[ExtraLine, ...] = ()) -> Draft:
    lines = tuple(Line("fixed", f"Work {i}", D(a), taxed=True) for i, a in enumerate(amounts))
    return Draft("progress", "hill-house", "Ada Quill", lines, extras, D(rate))


@pytest.fixture
def issued(desk, now):
    """Issues an invoice of some amounts in the shop; gives its number."""

    def issue(*amounts: str) -> int:
        on = now.date()
        desk.shop.make(lambda record, at: issue_invoice(record, draft(*amounts), HEAD, on, at), now)
        return desk.shop.record().trail[-1].number

    return issue


def test_numbers_follow_and_what_was_issued_reads_back_as_it_was(desk, now, issued) -> None:
    assert [issued("100.00"), issued("16.60", "20.00"), issued("5.00")] == [1, 2, 3]
    record = desk.shop.record()
    headed = record.headed(2)
    assert headed.document.draft == draft("16.60", "20.00")
    # 7.5 % of 36.60 is 2.745: half up to the cent (K.S.A. 79-3676).
    assert headed.document.total == D("39.35")
    assert headed.head == HEAD


def test_an_issued_invoice_is_never_changed_nor_undone(desk, now, refusing, issued) -> None:
    issued("100.00")
    before = desk.shop.record().tables["documents"]
    said = refusing(desk.shop.undo, now)
    assert said == "Invoice 1 was issued and can't be changed or undone. Credit or void it."

    def changed(record, at):
        place = ("documents", "1", "total")
        return Change("mine", (edit(record.tables, place, "1.00"),), at)

    def out_of_turn(record, at):
        doc = {**record.tables["documents"]["1"], "number": 3}
        return Change("mine", (edit(record.tables, ("documents", "3"), doc),), at)

    assert said == refusing(desk.shop.make, changed, now)
    assert "isn't the next" in refusing(desk.shop.make, out_of_turn, now)
    assert desk.shop.record().tables["documents"] == before


def test_money_that_is_not_issued_can_be_undone(desk, now, issued) -> None:
    issued("100.00")
    on = now.date()
    desk.shop.make(lambda record, at: pay(record, 1, D("50.00"), on, at), now)
    assert standing(*_one(desk), on).balance == D("57.50")
    assert desk.shop.undo(now).what == "payment of $50.00 on invoice 1 (Ada Quill, Hill house)"
    assert standing(*_one(desk), on).balance == D("107.50")
    assert desk.shop.redo(now).what == "payment of $50.00 on invoice 1 (Ada Quill, Hill house)"
    assert standing(*_one(desk), on).balance == D("57.50")


def _one(desk):
    record = desk.shop.record()
    return record.invoice(1), record.trail, record.payments


def test_credit_and_void_keep_the_trail(desk, now, refusing, issued) -> None:
    on = now.date()
    issued("100.00", "10.00")
    issued("7.00")
    amounts = (D("40.00"), D("0.00"))
    shop = desk.shop
    shop.make(
        lambda record, at: credit_invoice(record, 1, "a board short", on, at, amounts=amounts),
        now,
    )
    shop.make(lambda record, at: void_invoice(record, 2, "sent twice", on, at), now)
    record = shop.record()
    assert [(d.number, d.kind, d.total) for d in record.trail] == [
        (1, "progress", D("118.25")),
        (2, "progress", D("7.53")),
        (3, "credit", D("-43.00")),
        (4, "void", D("-7.53")),
    ]
    assert record.left_of(1) == (D("60.00"), D("10.00"))
    assert "is a credit" in refusing(record.invoice, 3)
    assert "Number 4 was issued" in refusing(shop.undo, now)
    with pytest.raises(BadInput, match="Nothing is credited on invoice"):
        shop.make(lambda r, at: void_invoice(r, 2, "again", on, at), now)
    assert "in the future" in refusing(
        shop.make, lambda r, at: pay(r, 1, D(1), on + timedelta(1), at), now
    )


def test_the_first_change_outlives_a_checkpoint_that_the_disk_did_not_take(
    desk, now, failing, issued
) -> None:
    with failing("rename") as hits:
        assert issued("100.00") == 1
    assert hits
    assert not desk.shop.path.exists()
    assert issued("20.00") == 2
    assert [d.number for d in desk.shop.record().trail] == [1, 2]


@pytest.mark.parametrize("call", ["line", "fsync"])
def test_a_number_is_neither_lost_nor_given_twice_when_saving_fails(
    desk, now, failing, issued, refusing, call
) -> None:
    assert issued("100.00") == 1
    before = desk.shop.path.with_suffix(".history").read_bytes()
    with failing(call) as hits, pytest.raises(NotSaved):
        issued("20.00")
    assert hits
    assert [d.number for d in desk.shop.record().trail] == [1]
    assert desk.shop.path.with_suffix(".history").read_bytes() == before
    assert issued("30.00") == 2
    record = desk.shop.record()
    assert [(d.number, d.total) for d in record.trail] == [(1, D("107.50")), (2, D("32.25"))]


def test_the_first_number_is_one_s_own_until_it_was_used(desk, now, refusing, issued) -> None:
    desk.shop.change(now, first_number="412")
    assert [issued("1.00"), issued("1.00")] == [412, 413]
    assert "can't be changed" in refusing(desk.shop.change, now, first_number="1")


def test_customers(desk, now, refusing) -> None:
    shop = desk.shop
    shop.make(lambda r, at: keep_customer(r, at, name="Ada Quill", terms="14"), now)
    assert shop.record().customer_named("ada  QUILL").terms == 14
    again = lambda r, at: keep_customer(r, at, name="ADA quill")  # noqa: E731
    assert "already a customer" in refusing(shop.make, again, now)
    for terms in ("-1", "400", "soon"):
        with pytest.raises(NotAllowed, match="from 0 to 365 days"):
            shop.make(lambda r, at, t=terms: keep_customer(r, at, name="Bo", terms=t), now)


CENTS = st.integers(0, 10_000_00).map(lambda n: D(n).scaleb(-2))


@settings(deadline=None, max_examples=25, suppress_health_check=[HealthCheck.too_slow])
@given(
    st.lists(st.tuples(CENTS, st.booleans()), min_size=1, max_size=6),
    st.integers(0, 5000).map(lambda n: D(n).scaleb(-2)),
    st.sampled_from(["invoice", "line"]),
)
def test_a_document_is_its_lines_and_its_tax_before_and_after_the_record(lines, rate, per):
    from crewdesk.job.books.shop_record import ShopRecord

    made = tuple(Line("fixed", "Work", amount, taxed) for amount, taxed in lines)
    given_ = Draft("final", "j", "c", made, (), rate, per)
    record = ShopRecord({})
    now = NOW
    record.make(issue_invoice(record, given_, HEAD, now.date(), now))
    record = ShopRecord(json.loads(json.dumps(record.tables)))
    invoice = record.invoice(1)
    assert invoice.draft == given_
    assert invoice.total == sum(amount for amount, _ in lines) + invoice.draft.tax
    assert invoice.total == D(record.tables["documents"]["1"]["total"])


NOW = datetime.fromisoformat("2026-03-02T07:30:00-05:00")

PROGRAM = """
import sys
from datetime import datetime
from decimal import Decimal
from pathlib import Path
from crewdesk.job.books import ledger as trail
from crewdesk.job.books.documents import credit_invoice, issue_invoice, void_invoice
from crewdesk.store.desk import Desk
from crewdesk.trade.books.invoice import Draft
from crewdesk.trade.books.invoice_lines import Line
now = datetime.fromisoformat("2026-03-02T07:30:00-05:00")
desk = Desk(Path(sys.argv[1]))
sys.stdin.readline()
for turn in range(12):
    draft = Draft("progress", sys.argv[2], "Ada", (Line("fixed", "Work", Decimal("10.00")),))
    act = lambda r, at: issue_invoice(r, draft, trail.Letterhead(), now.date(), at)
    print(desk.shop.make(act, now).what.split()[2], flush=True)
"""


def test_two_programs_at_once_share_the_numbers_without_a_gap(desk) -> None:
    programs = [
        subprocess.Popen(
            [sys.executable, "-c", PROGRAM, str(desk.folder), name],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
            cwd=ROOT,
        )
        for name in ("one", "two")
    ]
    for one in programs:
        one.stdin.write("go\n")
        one.stdin.flush()
    told = [one.communicate(timeout=60)[0].split() for one in programs]
    assert [len(one) for one in told] == [12, 12]
    numbers = [d.number for d in desk.shop.record().trail]
    assert numbers == list(range(1, 25))
    assert sorted(int(n) for one in told for n in one) == numbers
    by_job = [
        {d.number for d in desk.shop.record().trail if d.draft.job == j} for j in ("one", "two")
    ]
    assert by_job == [{int(n) for n in one} for one in told]

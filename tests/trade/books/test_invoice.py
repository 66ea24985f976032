"""Totals, numbers and credits. No tax authority's numbered invoice example was found; the tax
is checked against the wording of the rule (K.S.A. 79-3676) in test_money."""

from dataclasses import FrozenInstanceError
from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crewdesk.errors import BadInput
from crewdesk.trade.books.estimate import Material
from crewdesk.trade.books.invoice import (
    Credit,
    Draft,
    credit,
    extras_billed,
    issue,
    left_of,
    next_number,
    void,
)
from crewdesk.trade.books.invoice_lines import (
    ChangeOrder,
    ExtraLine,
    Line,
    deposit_line,
    extra_line,
    feet_line,
    fixed_line,
    hours_line,
    less_line,
    material_line,
)

D = Decimal
DAY = date(2026, 3, 9)
ORDER = ChangeOrder("CO1", "Wrap the post", D("240.00"), None, "R. Alder", date(2026, 3, 2))


def draft(*lines, extras=(), kind="progress", rate="7.5", per="invoice", job="J1"):
    return Draft(kind, job, "Alder", tuple(lines), tuple(extras), D(rate), per)


def test_lines_by_hours_feet_and_price():
    board = Material("poplar 1x8", Fraction(10), D("4.00"), waste=D(10), markup=D(15))
    lines = (
        hours_line("Rip", 4800, D("85.00")),
        feet_line("Scribe", Fraction(150), D("4.50")),
        fixed_line("Set-up", D("120")),
        material_line(board, taxed=True),
        deposit_line("Deposit", D("3333.33"), D("33")),
        less_line("Less billed before", D("100.00")),
    )
    assert [line.amount for line in lines] == [
        D("113.33"), D("56.25"), D("120.00"), D("50.60"), D("1100.00"), D("-100.00"),
    ]  # fmt: skip
    found = draft(*lines)
    assert found.subtotal == D("1340.18")
    assert found.tax == D("3.80")  # 7.5 % of 50.60 is 3.795
    assert found.total == D("1343.98")


def test_extra_work_stands_apart_from_the_base():
    found = draft(fixed_line("Beams", D(1000)), extras=[extra_line(ORDER, taxed=True)], rate="10")
    assert (found.base, found.extra, found.subtotal) == (1000, 240, 1240)
    assert found.tax == 24
    by_hour = ChangeOrder("CO2", "Move a light", None, D(80), "R. Alder", DAY)
    assert extra_line(by_hour, 5400).amount == 120


def test_a_change_order_is_billed_once(refused):
    first = issue(draft(extras=[extra_line(ORDER)]), [], DAY)
    again = draft(extras=[extra_line(ORDER)])
    facts = refused("is on invoice", issue, again, [first], DAY)
    assert facts["number"] == 1
    assert issue(draft(extras=[extra_line(ORDER)], job="J2"), [first], DAY).number == 2
    refused(
        "is on this invoice twice. Leave one out",
        issue,
        draft(extras=[extra_line(ORDER)] * 2),
        [],
        DAY,
    )
    back = void(first, "wrong customer", [first], DAY, D(0))
    assert extras_billed("J1", [first]) == {"CO1": 1}
    assert extras_billed("J1", [first, back]) == {}
    assert issue(again, [first, back], DAY).number == 3


def test_extra_work_needs_its_acceptance_and_one_price(refused):
    refused(
        "hasn't been accepted. Enter by whom and when", extra_line, ChangeOrder("CO", "Post", D(10))
    )
    refused(
        "hasn't been accepted. Enter by whom and when",
        extra_line,
        ChangeOrder("CO", "Post", D(10), None, "A"),
    )
    for price, hour in ((None, None), (D(10), D(80))):
        refused(
            "needs either a price or an hourly rate",
            extra_line,
            ChangeOrder("CO", "Post", price, hour, "A", DAY),
        )


@pytest.mark.parametrize("line", [Line, ExtraLine])
def test_lines_that_can_not_be_are_refused(line, refused):
    first = "fixed" if line is Line else "CO1"
    refused("below zero. Enter a credit instead", line, first, "Beams", D(-1))
    refused("has no text. Type what it is for", line, first, "  ", D(1))
    refused("with parts of a cent. Type whole cents", line, first, "Beams", D("1.005"))


def test_drafts_that_can_not_be_are_refused(refused):
    refused("% is out of range for", draft, rate="1000")
    refused("isn't a kind of invoice. Use deposit", draft, kind="credit")
    refused("days are out of range. Type 0 to", Draft, "final", "J1", "Alder", terms=-1)
    refused("The invoice has no line. Add one before you issue it", issue, draft(), [], DAY)
    refused("below zero. Credit an earlier invoice", issue, draft(less_line("Less", D(5))), [], DAY)
    refused("% is out of range for", deposit_line, "Deposit", D(100), D(101))


def test_numbers_neither_repeat_nor_skip(refused):
    assert next_number([]) == 1
    assert next_number([], 1001) == 1001
    assert next_number([1, 2, 3]) == 4
    assert refused("is missing in the ledger. Fix that first", next_number, [1, 3])["number"] == 2
    assert (
        refused("is in the ledger twice or out of order. Fix", next_number, [1, 2, 2])["number"]
        == 2
    )
    refused("is missing in the ledger. Fix that first", next_number, [2, 1])


def test_dates_go_up_with_numbers(refused):
    first = issue(draft(fixed_line("Beams", D(10))), [], DAY)
    refused(
        "A later number can't have an earlier date", issue, first.draft, [first], date(2026, 3, 8)
    )
    assert issue(first.draft, [first], DAY).number == 2


def test_an_issued_invoice_can_not_be_set(refused):
    first = issue(draft(fixed_line("Beams", D(10))), [], DAY)
    with pytest.raises(FrozenInstanceError):
        first.number = 7
    with pytest.raises(FrozenInstanceError):
        first.draft.lines[0].amount = D(1)


def test_a_void_takes_all_back_if_nothing_is_paid(refused):
    first = issue(draft(fixed_line("Beams", D(100), taxed=True), less_line("Less", D(20))), [], DAY)
    refused(
        "paid on it and can't be voided. Credit it", void, first, "wrong", [first], DAY, D("1.00")
    )
    refused("needs a reason. Type one", void, first, " ", [first], DAY, D(0))
    back = void(first, "wrong", [first], DAY, D(0))
    assert (back.number, back.of, back.kind, back.total) == (2, 1, "void", -first.total)
    refused("Nothing is credited on invoice", void, first, "again", [first, back], DAY, D(0))


def test_a_credit_keeps_within_its_invoice(refused):
    lines = (fixed_line("Beams", D(100), taxed=True), less_line("Less", D(20)))
    first = issue(draft(*lines), [], DAY)
    trail = [first]
    refused("needs a reason. Type one", credit, first, [D(1), D(0)], "", trail, DAY)
    refused(
        "amount(s) were typed. Type one for each", credit, first, [D(1)], "less work", trail, DAY
    )
    refused("Nothing is credited on invoice", credit, first, [D(0), D(0)], "less work", trail, DAY)
    refused(
        "can't be credited; type from 0 to",
        credit,
        first,
        [D(-1), D(0)],
        "less work",
        trail,
        DAY,
    )
    refused(
        "can't be credited; type from 0 to",
        credit,
        first,
        [D(101), D(0)],
        "less work",
        trail,
        DAY,
    )
    refused("can't be credited on invoice", credit, first, [D(100), D(0)], "less work", trail, DAY)
    refused("can't be credited on invoice", credit, first, [D(0), D(-5)], "less work", trail, DAY)
    back = credit(first, [D(60), D(0)], "less work", trail, DAY)
    assert (back.number, back.total) == (2, D("-64.50"))
    assert left_of(first, [first, back]) == (40, -20)
    refused(
        "can't be credited; type from 0 to",
        credit,
        first,
        [D(50), D(0)],
        "more",
        [first, back],
        DAY,
    )


def test_credits_in_parts_take_back_the_tax_to_the_cent():
    # 3 x 10.07 at 7.5 %: 2.27 by invoice; each alone would take back 0.76, so 2.28
    first = issue(draft(*[fixed_line(f"Beam {n}", D("10.07"), taxed=True) for n in "123"]), [], DAY)
    trail = [first]
    for i in range(3):
        amounts = [D("10.07") if i == j else D(0) for j in range(3)]
        trail.append(credit(first, amounts, "not built", trail, DAY))
    assert [d.total for d in trail] == [D("32.48"), D("-10.83"), D("-10.82"), D("-10.83")]
    assert sum(d.total for d in trail) == 0


_LINE = st.tuples(st.decimals(0, 5000, places=2), st.booleans())


@given(
    st.lists(_LINE, min_size=1, max_size=5), st.lists(_LINE, max_size=3),
    st.decimals(0, 50, places=3), st.sampled_from(["line", "invoice"]),
)  # fmt: skip
def test_a_total_is_the_lines_and_the_tax(base, extras, rate, per):
    found = draft(
        *[Line("fixed", "x", a, t) for a, t in base],
        extras=[ExtraLine(str(i), "y", a, t) for i, (a, t) in enumerate(extras)],
        rate=rate,
        per=per,
    )
    assert found.subtotal == sum(a for a, _ in base) + sum(a for a, _ in extras)
    taxed = sum((a for a, t in base + extras if t), D(0))
    assert abs(found.tax - taxed * rate / 100) <= D("0.005") * (8 if per == "line" else 1)
    assert found.total == found.subtotal + found.tax
    assert found.total == found.total.quantize(D("0.01"))


_ACT = st.tuples(
    st.sampled_from(["issue", "credit", "void"]), st.integers(0, 9), st.decimals(0, 120, places=2)
)


@given(st.lists(_ACT, max_size=12), st.sampled_from(["line", "invoice"]))
def test_whatever_is_done_issued_documents_stay_and_numbers_follow(acts, per):
    trail, copies = [], []
    for act, which, money in acts:
        issued = [d for d in trail if not isinstance(d, Credit)]
        try:
            if act == "issue" or not issued:
                lines = [
                    fixed_line("a", money, taxed=True),
                    fixed_line("b", D("33.33"), taxed=True),
                ]
                document = issue(draft(*lines, rate="7.25", per=per), trail, DAY)
            elif act == "credit":
                of = issued[which % len(issued)]
                document = credit(of, [money, D("11.11")], "less", trail, DAY)
            else:
                document = void(issued[which % len(issued)], "wrong", trail, DAY, D(0))
        except BadInput:
            continue
        trail.append(document)
        copies.append((repr(document), document.total))
    assert [(repr(d), d.total) for d in trail] == copies
    assert [d.number for d in trail] == list(range(1, len(trail) + 1))
    for invoice in (d for d in trail if not isinstance(d, Credit)):
        back = [d for d in trail if isinstance(d, Credit) and d.of == invoice.number]
        assert invoice.total + sum(d.total for d in back) >= 0
        if not any(left_of(invoice, trail)):
            assert invoice.total + sum(d.total for d in back) == 0

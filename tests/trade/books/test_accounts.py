from datetime import date
from decimal import Decimal

import pytest

from crewdesk.trade.books.accounts import (
    Owed,
    Payment,
    apply_credit,
    credit_on,
    owed,
    owed_back,
    owed_by_age,
    standing,
    standings,
    sum_of,
    take_out,
    take_payment,
)
from crewdesk.trade.books.invoice import Draft, credit, issue, void
from crewdesk.trade.books.invoice_lines import fixed_line

D = Decimal
FIRST = date(2026, 1, 15)


@pytest.fixture
def trail():
    """Three invoices: 1 and 3 to Alder, 2 to Birch; 100.00 each, 30 days, no tax."""
    found = []
    for customer, on in (
        ("Alder", FIRST),
        ("Birch", date(2026, 1, 20)),
        ("Alder", date(2026, 3, 1)),
    ):
        draft = Draft("progress", f"{customer}'s", customer, (fixed_line("Beams", D(100)),))
        found.append(issue(draft, found, on))
    return found


def test_what_is_owed_by_age(trail):
    # 30 days from 15 and 20 January 2026 are 14 and 19 February; on 19 March, the 78th day of
    # the year, the first is 33 days late and the second 28; the third is due on 31 March.
    paid = (Payment(3, D(60), date(2026, 3, 10)),)
    found = owed_by_age(standings(trail, paid, date(2026, 3, 19)))
    assert [one.amount for one in found] == [40, 100, 100, 0, 0]
    assert sum_of(found) == 240
    late = owed_by_age(standings(trail, (), date(2026, 6, 30)))
    assert [one.amount for one in late] == [0, 0, 0, 0, 300]  # 91, 131 and 136 days late
    ahead = (Payment(1, D(150), FIRST),)
    assert sum_of(owed_by_age(standings(trail, ahead, FIRST))) == 0


def test_due_and_overdue_by_terms(trail):
    # 30 days from 15 January 2026 is 14 February: January has 31 days
    first = trail[0]
    assert first.due_on == date(2026, 2, 14)
    on_time = standing(first, trail, [], date(2026, 2, 14))
    late = standing(first, trail, [], date(2026, 2, 15))
    assert (on_time.overdue, on_time.days_over) == (False, 0)
    assert (late.overdue, late.days_over) == (True, 1)


def test_terms_are_the_drafts_own(trail):
    draft = Draft("final", "J", "Cedar", (fixed_line("Beams", D(1)),), terms=10)
    assert issue(draft, trail, date(2026, 3, 1)).due_on == date(2026, 3, 11)


def test_payments_and_credits_lower_the_balance_from_their_day(trail):
    payments = take_payment(Payment(1, D(40), date(2026, 2, 1)), trail, ())
    trail.append(credit(trail[0], [D(10)], "less work", trail, date(2026, 3, 2)))
    before = standing(trail[0], trail, payments, date(2026, 1, 31))
    between = standing(trail[0], trail, payments, date(2026, 2, 1))
    after = standing(trail[0], trail, payments, date(2026, 3, 2))
    assert [s.balance for s in (before, between, after)] == [100, 60, 50]
    assert (after.paid, after.credited, after.total) == (40, 10, 100)


def test_a_paid_invoice_is_not_overdue_and_too_much_is_owed_back(trail):
    payments = take_payment(Payment(1, D(120), date(2026, 2, 20)), trail, ())
    found = standing(trail[0], trail, payments, date(2026, 12, 31))
    assert (found.balance, found.overdue) == (-20, False)
    (back,) = owed_back(standings(trail, payments, date(2026, 12, 31)))
    assert (back.customer, back.number, back.balance) == ("Alder", 1, -20)
    payments = take_payment(Payment(1, D(20), date(2026, 2, 21), refund=True), trail, payments)
    assert owed_back(standings(trail, payments, date(2026, 12, 31))) == ()
    assert standing(trail[0], trail, payments, date(2026, 12, 31)).balance == 0


def test_a_deposit_that_came_ahead_of_its_invoice_is_the_customers_until_then(trail):
    """Double entry: an advance received is a liability until what it is for is billed (IFRS 15,
    106: a contract liability; from memory), so that billed less paid is at each day what is owed
    less what is owed back.
    """
    came, dated = date(2025, 12, 30), FIRST
    payments = take_payment(Payment(1, D(40), came), trail, ())
    assert standings(trail, payments, date(2025, 12, 29)) == ()
    (ahead,) = standings(trail, payments, date(2026, 1, 14))
    assert (ahead.total, ahead.paid, ahead.balance, ahead.overdue) == (0, 40, -40, False)
    assert (owed_back((ahead,)), owed((ahead,))) == ((ahead,), ())
    (then,) = standings(trail, payments, dated)
    assert (then.total, then.balance) == (100, 60)
    # It can be given back before, and no credit stands on it that could be applied then.
    back = take_payment(Payment(1, D(40), date(2026, 1, 2), refund=True), trail, payments)
    assert standings(trail, back, date(2026, 1, 3))[0].balance == 0
    assert credit_on(trail[0], trail, payments, date(2026, 1, 14)) == 0


def test_who_owes_since_when(trail):
    on = date(2026, 3, 5)
    assert len(standings(trail, [], date(2026, 2, 1))) == 2
    assert owed(standings(trail, [], on)) == (
        Owed("Alder", D(200), FIRST, D(100)),
        Owed("Birch", D(100), date(2026, 1, 20), D(100)),
    )
    paid = (Payment(1, D(100), on),)
    assert [o.customer for o in owed(standings(trail, paid, on))] == ["Birch", "Alder"]


def test_payments_that_can_not_be_are_refused(trail, refused):
    pay = [Payment(1, D(40), FIRST)]
    refused("Type more than zero", take_payment, Payment(1, D(0), FIRST), trail, pay)
    refused("Type more than zero", take_payment, Payment(1, D(-5), FIRST), trail, pay)
    refused("to pay. Check the number", take_payment, Payment(9, D(5), FIRST), trail, pay)
    # FIRST is 15 January 2026: a day of January 2025 would be the wrong year's.
    last_year = Payment(1, D(5), date(2025, 1, 13))
    refused("A deposit can come early, but", take_payment, last_year, trail, pay)
    refund = Payment(1, D("40.01"), FIRST, refund=True)
    refused("can't be refunded on invoice", take_payment, refund, trail, pay)


def test_a_void_invoice_takes_no_payment_and_says_where_it_can_go(trail, refused):
    on = date(2026, 3, 2)
    paid = take_payment(Payment(2, D(10), on), trail, ())
    trail.append(void(trail[0], "sent twice", trail, on, D(0)))
    found = refused(
        "and can't be paid. Enter the payment on another open invoice of",
        take_payment,
        Payment(1, D(100), on),
        trail,
        paid,
    )
    assert found == {"number": 1, "by": 4, "others": (3,)}
    paid = take_payment(Payment(3, D(100), on), trail, paid)
    found = refused(
        "of that customer, where it becomes a credit balance",
        take_payment,
        Payment(1, D(5), on),
        trail,
        paid,
    )
    assert found["other"] == 3
    trail.append(void(trail[2], "sent twice", trail, on, D(0)))
    refused(
        "and can't be paid, and that customer has", take_payment, Payment(1, D(5), on), trail, ()
    )


def test_what_was_paid_over_is_applied_to_another_invoice_of_the_customer(trail, refused):
    later = date(2026, 3, 5)
    paid = take_payment(Payment(1, D(150), date(2026, 2, 1)), trail, ())
    for why, credit_of in (
        ("of credit can't be applied to invoice", Payment(3, D(10), later, source=1)),
        ("credit to an invoice of the same", Payment(2, D(10), later, source=1)),
        (
            "can only be applied to another invoice. Type its number",
            Payment(1, D(10), later, source=1),
        ),
        ("its credit balance", Payment(3, D("50.01"), later, source=1)),
        ("its credit balance", Payment(1, D(10), later, source=3)),
        (
            "was issued. Apply credit from and to",
            Payment(3, D(10), date(2026, 2, 28), source=1),
        ),
        ("Type more than zero", Payment(3, D(0), later, source=1)),
        ("to pay. Check the number", Payment(3, D(1), later, source=8)),
    ):
        full = take_payment(Payment(3, D(95), later), trail, paid)
        refused(why, apply_credit, credit_of, trail, full if "can't be applied to" in why else paid)
    applied = apply_credit(Payment(3, D(50), later, source=1), trail, paid)

    # Double entry (Pacioli, Summa, 1494): what leaves one account enters another, and all
    # accounts together stay as they were.
    before, after = (standings(trail, each, later) for each in (paid, applied))
    assert sum(s.balance for s in before) == sum(s.balance for s in after) == 150
    assert [s.balance for s in before] == [-50, 100, 100]
    assert [s.balance for s in after] == [0, 100, 50]
    assert [s.applied for s in after] == [-50, 0, 50]
    assert [s.paid for s in after] == [150, 0, 0]
    assert sum(each.received for each in applied) == 150
    # As of a day before, it had not been applied.
    assert standings(trail, applied, date(2026, 3, 4)) == standings(trail, paid, date(2026, 3, 4))
    assert owed_back(after) == ()

    # It is no credit twice, and its money can't be given back or taken out under it.
    refused(
        "its credit balance",
        apply_credit,
        Payment(3, D(1), later, source=1),
        trail,
        applied,
    )
    refused(
        "can't be refunded on invoice",
        take_payment,
        Payment(1, D(101), later, True),
        trail,
        applied,
    )
    refused("can't be removed: it was refunded or", take_out, 0, trail, applied)
    refused(
        "paid on it and can't be voided. Credit it",
        void,
        trail[2],
        "a slip",
        trail,
        later,
        after[2].held,
    )
    assert take_out(1, trail, applied) == paid

    # Where that invoice is credited, what was applied to it is owed back on it.
    trail.append(credit(trail[2], [D(100)], "isn't done", trail, later))
    assert credit_on(trail[2], trail, applied, later) == 50
    returned = take_payment(Payment(3, D(50), later, refund=True), trail, applied)
    assert standing(trail[2], trail, returned, later).balance == 0

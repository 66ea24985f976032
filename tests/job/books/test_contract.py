"""A job's contract: what is paid, billed, earned and to do comes to its price and its extras."""

from decimal import Decimal

from crewdesk.job.books import billing, pricing
from crewdesk.job.books.contract import contract
from crewdesk.job.books.documents import issue_invoice
from crewdesk.job.books.job_books import JobBooks
from crewdesk.job.books.job_lists import accept_order, typed_order
from crewdesk.job.books.payments import pay
from crewdesk.job.books.shop_record import ShopRecord
from crewdesk.job.steps import ticks
from crewdesk.job.steps.ticks import Spot

D = Decimal


def parts(found) -> tuple[Decimal, ...]:
    return found.paid, found.unpaid, found.earned, found.left


def test_the_parts_come_to_the_whole_from_the_estimate_to_the_last_payment(
    priced, fresh_books, now
) -> None:
    books = fresh_books(deposit="30")

    def found():
        return contract(JobBooks("j", priced, books, (), now))

    # 30 ft and 2 beams at 60.00 an hour, so a minute is 1.00: by the default rates 6.25 minutes
    # a foot and 77 a beam are 341.50.
    assert not found().accepted
    assert found().whole == D("341.50")
    assert found().next is not None
    assert found().next.kind == "deposit"
    assert parts(found()) == (0, 0, 0, D("341.50"))

    estimate = pricing.price_job(priced, books.shop, ())
    priced.make(pricing.accept(priced, estimate, "Ada", now.date(), now, today=now.date()))
    priced.make(typed_order(priced, "Wrap a post", "240", now))
    assert found().whole == D("341.50")  # extra work counts once it is accepted
    priced.make(accept_order(priced, "1", "Ada", now.date(), now, today=now.date()))
    assert (found().whole, found().extra) == (D("581.50"), D("240.00"))

    # Rip of 38.00, a side of 3.50 checked off; and the extra work.
    priced.make(ticks.tick(priced, Spot("1", "A"), "rip-side", now))
    assert parts(found()) == (0, 0, D("243.50"), D("338.00"))
    draft = billing.next_invoice(JobBooks("j", priced, books, (), now))
    head = billing.letterhead(priced, books)
    books.make(issue_invoice(books, draft, head, now.date(), now))
    assert parts(found()) == (0, D("243.50"), 0, D("338.00"))
    assert found().next is None
    books.make(pay(books, 1, D("43.50"), now.date(), now))
    assert parts(found()) == (D("43.50"), D("200.00"), 0, D("338.00"))
    assert sum(parts(found())) == found().whole == found().most


def test_a_job_without_a_price_has_no_contract(priced, now) -> None:
    found = contract(JobBooks("j", priced, ShopRecord({}), (), now))
    assert (found.whole, found.most, found.next) == (None, 0, None)


def test_more_than_the_contract_is_as_long_as_the_stick(priced, fresh_books, now) -> None:
    """An hour at 85.00 of extra work, and a payment over all that was billed."""
    books = fresh_books()
    estimate = pricing.price_job(priced, books.shop, ())
    priced.make(pricing.accept(priced, estimate, "Ada", now.date(), now, today=now.date()))
    priced.make(ticks.tick(priced, Spot("1", "A"), "rip-side", now))
    draft = billing.next_invoice(JobBooks("j", priced, books, (), now), kind="final")
    books.make(issue_invoice(books, draft, billing.letterhead(priced, books), now.date(), now))
    books.make(pay(books, 1, D("400.00"), now.date(), now))
    found = contract(JobBooks("j", priced, books, (), now))
    assert parts(found) == (D("400.00"), 0, 0, 0)
    assert (found.whole, found.most) == (D("341.50"), D("400.00"))

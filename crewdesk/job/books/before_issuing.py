"""What should be known before an invoice is issued, for then it stays as it is."""

from datetime import datetime

from crewdesk.job.books.extra_time import extra_time_told
from crewdesk.job.books.shop_record import ShopRecord
from crewdesk.job.books.worth import by_price
from crewdesk.job.record import Record
from crewdesk.trade.books.invoice import Issued
from crewdesk.trade.books.payments import credit_on, of_customer


def before_issuing(
    record: Record, issued: Issued, books: ShopRecord, now: datetime
) -> tuple[str, ...]:
    """What should be known before a draft is issued, a sentence each: a letterhead without a
    name, a customer without an address, a tax other than the accepted price had, extra work by
    the hour without an hour, time of extra work that it leaves out, credit of the customer.
    `issued` is the draft as it would be issued."""
    found, draft = [], issued.draft
    if not books.shop.name:
        found.append("The letter bears no name of the shop, for ever; enter it in the shop first.")
    if draft.customer and books.customers and books.customer_named(draft.customer) is None:
        found.append(
            f"{draft.customer} is not among the shop's customers, so the letter bears no address."
        )
    accepted = record.accepted
    if accepted is not None and by_price(record) and accepted.tax_rate != draft.tax_rate:
        was, is_ = (f"{rate.normalize():f} %" for rate in (accepted.tax_rate, draft.tax_rate))
        found.append(f"The price was accepted with a tax of {was}; the shop's is {is_} now.")
    if draft.kind == "final":
        worked = {entry.order for entry in record.entries if entry.billable}
        found += [
            f"No billed hour is on {order.text}, which was accepted by the hour."
            for order in record.orders
            if order.taken and order.hour is not None and order.row not in worked
        ]
    if draft.kind != "deposit":
        found += extra_time_told(record, draft.job, books, now)
    for one in of_customer(issued, books.trail):
        if over := credit_on(one, books.trail, books.payments, issued.issued_on):
            found.append(
                f"{over:,} is owed back on invoice {one.number} of this customer; once this one "
                "is issued it can be applied to it as credit."
            )
    return tuple(found)

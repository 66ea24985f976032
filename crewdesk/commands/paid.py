"""The command about payments: record, apply credit, remove, list."""

from argparse import Namespace
from datetime import date, datetime

from crewdesk.commands.streams import in_lines
from crewdesk.errors import NotAllowed
from crewdesk.job.books.documents import invoice_meant, invoice_text
from crewdesk.job.books.payments import apply, pay, payment_text, payments_on, take_payment_out
from crewdesk.job.books.shop_record import ShopRecord
from crewdesk.job.change import Change
from crewdesk.store.desk import Desk
from crewdesk.trade.books.accounts import credit_on
from crewdesk.trade.books.dates import read_day
from crewdesk.trade.books.money import read_money


def paid(desk: Desk, args: Namespace, now: datetime) -> str:
    """Change an invoice's payments as the arguments say, or list them; raises `NotAllowed` or
    `BadInput`."""
    if sum((args.refund, args.source is not None, args.remove is not None)) > 1:
        raise NotAllowed("Make one change at a time: --refund, --from or --remove.")
    if args.remove is not None and (args.amount or args.on or args.note):
        raise NotAllowed("--remove takes only the payment's number. Leave out the rest.")
    if args.amount is None and args.source is None and (args.refund or args.on or args.note):
        raise NotAllowed(f"Type the amount, for example `crewdesk pay {args.number} 1,250.00`.")
    if args.amount is None and args.source is None and args.remove is None:
        books = desk.shop.record()
        number = invoice_meant(books, args.number, args.customer)
        listed = [
            f"{place:>3}  {one.on}  {payment_text(one, number)}  {one.note}".rstrip()
            for place, (_, one) in enumerate(payments_on(books, number), 1)
        ]
        lines = [f"Nothing has been paid on {invoice_text(books, number)}."]
        if listed:
            lines = [f"Paid on {invoice_text(books, number)}:", *listed]
    else:
        today = desk.shop.record().books_day(now)
        on = today if args.on is None else read_day(args.on, today)
        meant: list[int] = []

        def act(books: ShopRecord, at: datetime) -> Change:
            meant.append(invoice_meant(books, args.number, args.customer))
            return _change(books, args, meant[-1], on, at)

        change = desk.shop.make(act, now)
        books, lines = desk.shop.record(), [f"Saved: {change.what}."]
        number = meant[-1]
    return in_lines(*lines, *_owed_back(books, number, books.books_day(now)))


def _change(books: ShopRecord, args: Namespace, number: int, on: date, at: datetime) -> Change:
    amount = None if args.amount is None else read_money(args.amount)
    if args.remove is not None:
        return take_payment_out(books, number, args.remove, at)
    if args.source is not None:
        return apply(
            books, _source(books, args.source, number), number, amount, on, at, note=args.note
        )
    assert amount is not None
    return pay(books, number, amount, on, at, refund=args.refund, note=args.note)


def _source(books: ShopRecord, source: int, number: int) -> int:
    """Return the invoice that credit comes from; of two sent with that number the one of the same
    customer."""
    try:
        return invoice_meant(books, source)
    except NotAllowed:
        return invoice_meant(books, source, books.invoice(number).draft.customer)


def _owed_back(books: ShopRecord, number: int, on: date) -> list[str]:
    """Return what to do with an overpayment, if there is any."""
    over = credit_on(books.invoice(number), books.trail, books.payments, on)
    if not over:
        return []
    return [
        f"Invoice {number} has a credit balance of {over:,}: `crewdesk pay OTHER --from "
        f"{number}` applies it to another invoice of that customer; `crewdesk pay "
        f"{number} {over} --refund` enters a refund."
    ]

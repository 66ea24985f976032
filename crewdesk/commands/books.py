"""The commands about hours and money; each returns the text to print."""

from argparse import Namespace
from collections.abc import Callable
from datetime import UTC, date, datetime
from typing import Any

from crewdesk.commands.cuts import cuts_asked_since
from crewdesk.commands.paid import paid
from crewdesk.commands.streams import in_json, in_lines, put_beside
from crewdesk.errors import BadInput, CrewdeskError, NotAllowed
from crewdesk.job.books.contract import contract_on
from crewdesk.job.books.documents import (
    BILLED_AGAIN,
    before_issuing,
    credit_invoice,
    invoice_meant,
    renumbered_documents,
    typed_credit,
    void_invoice,
)
from crewdesk.job.books.job_books import (
    JobBooks,
    extra_time_notes,
    leave_unbilled,
    put_on_order,
    without_order,
)
from crewdesk.job.books.ledger import HeadedDocument
from crewdesk.job.books.pricing import accept, price_job
from crewdesk.job.books.shop import MAPPED, Shop, shown
from crewdesk.job.books.shop_record import ShopRecord
from crewdesk.job.change import Change
from crewdesk.job.record import Record
from crewdesk.job.text_limits import brief, lines_of, quoted, text_of
from crewdesk.job.time.logged import entry_day, site_zone
from crewdesk.job.time.typed_entry import added
from crewdesk.paper.documents.letter import Letter, letter_lines
from crewdesk.paper.job_document import check_new, write_new
from crewdesk.paper.plain import plain
from crewdesk.store.books import counted, issue, past_jobs, preview, rate_to_keep
from crewdesk.store.desk import Desk
from crewdesk.trade.books.dates import read_day
from crewdesk.trade.books.invoice import Issued
from crewdesk.trade.books.rounding import read_rule

Act = Callable[[Record, datetime], Change]

_ONE_OF = {
    "stage_rates": "tack=95/h",
    "packs": "tape=8.40",
    "times": "sloped=125",
    "instruments": "laser=1/16",
}
"""How a value of each of `MAPPED` is typed."""


def run(desk: Desk, args: Namespace, now: datetime) -> str:
    """Run a command; `now` is in the business's zone.

    Raises `NotAllowed`, `BadInput` or `OSError`.
    """
    ways = [way for way in ("json", "text", "csv", "ics", "pdf") if getattr(args, way, None)]
    if len(ways) > 1:
        raise NotAllowed(f"Choose one of {' and '.join(f'--{way}' for way in ways)}.")
    if getattr(args, "pdf", None):
        check_new(args.pdf)
    return _COMMANDS[args.command](desk, args, now)


def changed(desk: Desk, id_: str, act: Act, now: datetime) -> Record:
    """Make the change that `act` returns for a job; return the job."""
    job = desk.open(id_)
    try:
        job.writable()
        job.make(act(job.record, now))
        return job.record
    finally:
        job.close(now)


def _read(desk: Desk, args: Namespace) -> tuple[str, Record]:
    id_ = desk.find(args.job)
    return id_, desk.open(id_, writing=False).record


def _estimate(desk: Desk, args: Namespace, now: datetime) -> str:
    from crewdesk.paper.documents.estimate import estimate_letter, estimate_lines, estimate_values

    id_, record = _read(desk, args)
    books, past = desk.shop.record(), past_jobs(desk, id_, now)
    priced = price_job(record, books.shop, past)
    if args.accept:
        today = books.today(now)
        by, on = args.by or record.job.customer, day_of(args.on, today)
        record = changed(
            desk, id_, lambda record, now: accept(record, priced, by, on, now, today=today), now
        )
    elif args.by or args.on:
        raise NotAllowed("Use --by and --on only with --accept.")
    if args.json:
        return in_json(estimate_values(id_, record, priced))
    letter = estimate_letter(record, books, priced, books.today(now))
    if args.pdf:
        return _pdf(desk, args, letter, now)
    return in_lines(*letter_lines(letter), *estimate_lines(record, priced))


def _invoice(desk: Desk, args: Namespace, now: datetime) -> str:
    from crewdesk.paper.documents.invoice import invoice_letter, invoice_values

    id_, record = _read(desk, args)
    if args.number is not None and (args.issue or args.kind):
        raise NotAllowed("--number shows an issued invoice. Leave out --issue and --kind.")
    if args.extra is not None and not args.issue:
        raise NotAllowed("Use --extra only with --issue.")
    if args.number is not None:
        headed = _of_job(desk, id_, record, args.number)
    elif args.issue:
        record = _extra_time(desk, id_, record, args.extra, now, deposit=args.kind == "deposit")
        rate = rate_to_keep(desk, id_, record, now, args.kind)
        if rate is not None:
            record = changed(desk, id_, lambda record, now: rate, now)
        headed = issue(desk, id_, record, now, kind=args.kind)
    else:
        headed = preview(desk, id_, record, now, kind=args.kind).headed
    draft = args.number is None and not args.issue
    books = desk.shop.record()
    day = books.books_day(now)
    if args.json:
        return in_json(invoice_values(headed, books, day, preview=draft))
    whole = contract_on(JobBooks(id_, record, books, (), now), headed.document.issued_on)
    letter = invoice_letter(headed, books, day, preview=draft, contract=whole)
    if args.pdf:
        return _pdf(desk, args, letter, now)
    text: tuple[str, ...] = ()
    if draft and isinstance(headed.document, Issued):
        text = before_issuing(JobBooks(id_, record, books, (), now), headed.document)
    return in_lines(*letter_lines(letter), *(("", *text) if text else ()))


def _extra_time(
    desk: Desk, id_: str, record: Record, way: str | None, now: datetime, *, deposit: bool
) -> Record:
    """Assign a job's extra time without a change order; return the job."""
    if not without_order(record) or (deposit and way is None):
        return record
    if way == "later":
        return record
    if way == "unbilled":
        return changed(desk, id_, leave_unbilled, now)
    if way is not None:
        books = desk.shop.record()
        return changed(
            desk, id_, lambda one, at: put_on_order(JobBooks(id_, one, books, (), at), way), now
        )
    text = extra_time_notes(JobBooks(id_, record, desk.shop.record(), (), now))[0].removesuffix(".")
    raise NotAllowed(
        f"{text}. Add --extra N to put it on change order N, --extra unbilled to make "
        "it non-billable, or --extra later to leave it for a later invoice."
    )


def _of_job(desk: Desk, id_: str, record: Record, number: int) -> HeadedDocument:
    books = desk.shop.record()
    headed = books.headed(number)
    document = headed.document
    invoice = document if isinstance(document, Issued) else books.invoice(document.of)
    if not invoice.draft.is_of(id_, record.begun):
        for one in renumbered_documents(books):
            found = one.document
            found = found if isinstance(found, Issued) else books.invoice(found.of)
            if number in one.was and found.draft.is_of(id_, record.begun):
                return one
        if invoice.draft.job == id_:
            raise NotAllowed(
                f"Number {number} belongs to another job that had the name {id_} before."
            )
        raise NotAllowed(f"Number {number} belongs to the job {invoice.draft.job}, not to {id_}.")
    return headed


def _credit(desk: Desk, args: Namespace, now: datetime) -> str:
    if args.void and args.line:
        raise NotAllowed("--void credits the whole invoice. Leave out --line, or --void.")

    def act(books: ShopRecord, at: datetime) -> Change:
        number = invoice_meant(books, args.number, args.customer)
        reason, on = args.reason, books.books_day(at)
        if not args.line:
            whole = void_invoice if args.void else credit_invoice
            return whole(books, number, reason, on, at)
        return typed_credit(books, number, _by_line(books, number, args.line), reason, on, at)

    change = desk.shop.make(act, now)
    (issued,) = change.edits
    lines = [f"Saved: {change.what}, as number {issued.after['number']}."]
    if not args.void and desk.shop.record().invoice(issued.after["of"]).kind != "final":
        lines.append(BILLED_AGAIN)
    return in_lines(*lines)


def _by_line(books: ShopRecord, number: int, words: list[str]) -> tuple[str, ...]:
    """Return the credit of each line of an invoice, from arguments such as ``2=40.00``."""
    found = [""] * len(books.invoice(number).draft.all_lines)
    for word in words:
        place, sign, amount = word.partition("=")
        if not sign or not place.isdecimal() or not 1 <= int(place[:6]) <= len(found):
            raise NotAllowed(
                f"{quoted(word)} isn't a line of invoice {number}. Type a line from 1 "
                f"to {len(found)} and an amount, for example 1=40.00."
            )
        found[int(place) - 1] = amount
    return tuple(found)


def _hours(desk: Desk, args: Namespace, now: datetime) -> str:
    from crewdesk.paper.text.hours import billed_hours, hours, hours_csv

    id_, record = _read(desk, args)
    rule = read_rule(args.round) if args.round is not None else desk.shop.shop().rounding
    if args.add is not None:
        typed = {"when": args.add, "stage": args.stage or "", "note": args.note}
        typed["billed"] = "no" if args.unbilled else "yes"
        typed["order"] = args.order
        zone = site_zone(record) or now.tzinfo or UTC
        record = changed(desk, id_, lambda record, now: added(record, typed, now, zone), now)
    elif args.stage or args.note or args.unbilled or args.order:
        raise NotAllowed("Use --stage, --note, --order and --unbilled only with --add.")
    here = entry_day(record, now)
    since, until = (None if t is None else read_day(t, here) for t in (args.since, args.until))
    if since and until and since > until:
        raise NotAllowed(f"The days run backward, from {since} to {until}. Swap them.")
    if args.csv:
        return hours_csv(record, billed_hours(record, now, rule, since=since, until=until))
    sheet = hours(id_, record, now, rule, since=since, until=until)
    return in_json(sheet.values) if args.json else in_lines(*sheet.lines)


def _took(desk: Desk, args: Namespace, now: datetime) -> str:
    from crewdesk.job.books.actuals import job_actuals
    from crewdesk.paper.text.hours import actuals_sheet

    id_, record = _read(desk, args)
    took = job_actuals(record, desk.shop.shop(), past_jobs(desk, id_, now), now)
    sheet = actuals_sheet(id_, record, took)
    return in_json(sheet.values) if args.json else in_lines(*sheet.lines)


def _accounts(desk: Desk, args: Namespace, now: datetime) -> str:
    from crewdesk.job.books.accounts import accounts, read_day_of_accounts
    from crewdesk.paper.documents.accounts import accounts_csv, accounts_sheet

    if args.year is not None and not 1970 <= args.year <= 2200:
        raise NotAllowed(f"There is no year {args.year} in these books. Type it like 2026.")
    books = desk.shop.record()
    up_to = None if args.on is None else read_day_of_accounts(args.on, books.books_day(now))
    unread: list[CrewdeskError] = []
    found = accounts(books, counted(desk, unread.append), now, up_to=up_to)
    if unread:
        why = (f"The hours of one job aren't counted. {one}" for one in unread)
        put_beside(in_lines(*why))
    if args.csv:
        return accounts_csv(found, books, args.year, up_to or date.max)
    sheet = accounts_sheet(found, books, args.year)
    return in_json(sheet.values) if args.json else in_lines(*sheet.lines)


def _shop(desk: Desk, args: Namespace, now: datetime) -> str:
    values: dict[str, Any] = {}
    for word in args.values:
        name, sign, text = word.partition("=")
        if not sign:
            raise NotAllowed(
                f"{quoted(word)} isn't a setting with a value. Type it like hour=85 or tax=7.5."
            )
        key, dot, part = name.strip().lower().replace("-", "_").partition(".")
        if key in MAPPED and dot:
            several = values.setdefault(key, shown(desk.shop.shop(), key))
            several.pop(part.replace("_", "-"), None)
            if text.strip():
                several[part.replace("_", "-")] = text
        elif key in MAPPED:
            raise BadInput(
                f"{brief(name.strip())} has several values. Type one at a time, for "
                f"example {key}.{_ONE_OF[key]}.",
                field=key,
            )
        elif dot:
            raise NotAllowed(
                f"{quoted(name)} isn't a Business setting. `crewdesk shop` lists them."
            )
        else:
            several_lines = key in ("address", "terms_text")
            values[key] = text_of(text.replace("\\n", " / ")) if several_lines else text
    crew = desk.crew()
    shop = desk.shop.change(now, **values) if values else desk.shop.shop()
    told = {key: shown(shop, key) for key in Shop.by_key()}
    changed = list(cuts_asked_since(desk, crew)) if values else []
    if args.json:
        return in_json(told | ({"cuts_changed": changed} if changed else {}))
    lines = []
    for name, value in told.items():
        if isinstance(value, dict):
            lines += [f"{f'{name}.{part}':<22}{plain(one)}" for part, one in value.items()]
        else:
            lines.append(f"{name:<22}{plain(lines_of(value))}".rstrip())
    return in_lines(*lines, *changed)


def day_of(text: str | None, today: date) -> date:
    """Return the typed day, or today."""
    return today if text is None else read_day(text, today)


def _pdf(desk: Desk, args: Namespace, letter: Letter, now: datetime) -> str:
    from crewdesk.paper.documents.letter import letter_pdf

    write_new(args.pdf, letter_pdf(letter, now, paper=desk.shop.shop().paper))
    return in_lines(f"Wrote {plain(letter.title)} to {plain(str(args.pdf))}.")


_COMMANDS: dict[str, Callable[[Desk, Namespace, datetime], str]] = {
    "estimate": _estimate,
    "invoice": _invoice,
    "pay": paid,
    "credit": _credit,
    "hours": _hours,
    "took": _took,
    "accounts": _accounts,
    "shop": _shop,
}

"""The next invoice of a job: a deposit, what is earned so far, or all that is left.

Progress and final invoices tell all that the work is worth up to now and take off what
was billed before, so they stay right when an entry or a tick is mended afterwards.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from decimal import Decimal
from fractions import Fraction

from crewdesk.job.books.done import done_by_stage
from crewdesk.job.books.priced import beam_length, hour_of, price_job
from crewdesk.job.books.shop import EXTRAS, Shop
from crewdesk.job.books.shop_record import ShopRecord
from crewdesk.job.books.trail import Letterhead
from crewdesk.job.logged import on_site
from crewdesk.job.record import Record
from crewdesk.job.refused import Refused
from crewdesk.trade.books.durations import elapsed, short
from crewdesk.trade.books.estimate import PriceLine
from crewdesk.trade.books.invoice import Billing, Draft, Issued, extras_billed, left_of
from crewdesk.trade.books.invoice_lines import (
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
from crewdesk.trade.books.money import Rate, amount, cents
from crewdesk.trade.books.progress import StageDone, part_done, progress_lines
from crewdesk.trade.books.rounding import Bill, Rule, Worked, bill
from crewdesk.trade.books.stage_rates import PastJob
from crewdesk.trade.length import INCHES_PER_FOOT

ZERO = Decimal("0.00")
MATERIAL = ("materials", "consumables")


@dataclass(frozen=True)
class Billed:
    """What a job was billed of its base price so far, of taxed and of untaxed lines."""

    taxed: Decimal
    untaxed: Decimal

    @property
    def all(self) -> Decimal:
        """Both together."""
        return self.taxed + self.untaxed


def next_invoice(
    record: Record,
    job: str,
    books: ShopRecord,
    now: datetime,
    *,
    kind: Billing | None = None,
    past: Sequence[PastJob] = (),
) -> Draft:
    """The draft of a job's next invoice; `job` is the job's id in the trail.

    Raises `Refused` where there is nothing to bill, and `Refusal` as the trade does.
    """
    kind = kind or usual_kind(record, job, books)
    billed = billed_before(job, books)
    customer = books.customer_named(record.job.customer)
    shop = books.shop if books.shop.tax else replace(books.shop, taxed=())
    terms = shop.terms
    if customer is not None and customer.terms is not None:
        terms = customer.terms
    if kind == "deposit":
        lines = _deposit(record, job, books, past)
        extras: tuple[ExtraLine, ...] = ()
    else:
        lines = _worth(record, shop, now, past, all_of_it=kind == "final")
        earned = sum((line.amount for line in lines), ZERO)
        lines = _less(lines, billed)
        extras = _extras(record, job, books, now, hourly=kind == "final")
        due = sum((line.amount for line in lines), ZERO)
        if kind == "progress" and due <= 0:
            lines = ()  # more was billed than is earned so far: only extra work is due
        if not extras and due <= 0:
            raise Refused(
                f"The work up to now comes to {earned:,} and {billed.all:,} was billed already, "
                "so there is nothing to bill; credit an invoice to give money back."
            )
    return Draft(kind, job, record.job.customer, lines, extras, shop.tax, shop.tax_per, terms)


def usual_kind(record: Record, job: str, books: ShopRecord) -> Billing:
    """The kind of invoice that is due next: final once every step is behind, a deposit
    before the first is, else progress."""
    done = done_by_stage(record)
    if done and all(stage.part == 1 for stage in done):
        return "final"
    begun = any(stage.part for stage in done) or bool(record.entries)
    billed = any(isinstance(d, Issued) and d.draft.job == job for d in books.trail)
    return "progress" if begun or billed or not books.shop.deposit else "deposit"


def letterhead(record: Record, books: ShopRecord) -> Letterhead:
    """What stands on a job's letters besides the figures, as of now."""
    shop = books.shop
    customer = books.customer_named(record.job.customer)
    return Letterhead(
        shop.name,
        shop.address,
        shop.licence,
        shop.phone,
        shop.email,
        record.job.name,
        record.job.site,
        customer.address if customer else "",
        shop.terms_text,
    )


def billed_before(job: str, books: ShopRecord) -> Billed:
    """What the job's invoices ask of its base price, less what was taken back."""
    sums = {True: ZERO, False: ZERO}
    for document in books.trail:
        if isinstance(document, Issued) and document.draft.job == job:
            left = left_of(document, books.trail)
            for line, money in zip(document.draft.lines, left, strict=False):
                sums[line.taxed] += money
    return Billed(sums[True], sums[False])


def billed_time(record: Record, rule: Rule, now: datetime, *, order: str = "") -> Bill:
    """The billable time of a change order, or of all that belongs to none, as rounded.

    An entry's key is its row.
    """
    return bill(
        [
            Worked(
                entry.row,
                on_site(record, entry.start),
                entry.stage,
                max(elapsed(entry.start, entry.stop or now), 0),
            )
            for entry in record.entries
            if entry.billable and entry.order == order
        ],
        rule,
    )


def _by_price(record: Record) -> bool:
    """Whether the job is billed by its accepted price; raises `Refused` where it has none."""
    if record.job.billing == "price" and record.accepted is None:
        raise Refused("This job is billed by its accepted price, and none was accepted yet.")
    return record.job.billing != "rates" and record.accepted is not None


def _deposit(
    record: Record, job: str, books: ShopRecord, past: Sequence[PastJob]
) -> tuple[Line, ...]:
    for document in books.trail:
        if isinstance(document, Issued) and document.draft.job == job:
            if document.kind == "deposit" and any(left_of(document, books.trail)):
                raise Refused(f"A deposit stands on invoice {document.number} already.")
            if document.kind == "final" and any(left_of(document, books.trail)):
                raise Refused(f"Invoice {document.number} was the final one; bill no deposit.")
    rate = books.shop.deposit
    if not rate:
        raise Refused("The shop's deposit is 0 %, so there is none to bill.")
    lines = (
        record.accepted.lines
        if record.accepted is not None and _by_price(record)
        else price_job(record, books.shop, past).estimate.likely.lines
    )
    lines = _taxed_now(lines, books.shop)
    found = []
    for taxed in (False, True):
        base = sum((line.amount for line in lines if line.taxed == taxed), ZERO)
        of = "" if base == sum((line.amount for line in lines), ZERO) else _told(taxed)
        if base > 0:
            text = f"Deposit, {rate.normalize():f} % of {base:,}{of}"
            found.append(deposit_line(text, base, rate, taxed=taxed))
    return tuple(found)


def _told(taxed: bool) -> str:
    return " that is taxed" if taxed else " that is not taxed"


def _worth(
    record: Record, shop: Shop, now: datetime, past: Sequence[PastJob], *, all_of_it: bool
) -> tuple[Line, ...]:
    """All that the work is worth up to now, or once it is done, line by line."""
    done = done_by_stage(record, past)
    if all_of_it:
        done = tuple(replace(stage, part=Fraction(1)) for stage in done)
    if _by_price(record):
        return _by_stage(record, shop, done, all_of_it)
    return _by_rates(record, shop, now, done)


def _by_stage(
    record: Record, shop: Shop, done: Sequence[StageDone], all_of_it: bool
) -> tuple[Line, ...]:
    """The accepted price as far as it is earned: the labour, with all that is put on it, by
    stage; material by how far the whole job is, and so what is taxed unlike the labour."""
    assert record.accepted is not None
    lines = _taxed_now(record.accepted.lines, shop)
    labour = next((line.taxed for line in lines if line.sort == "labour"), False)
    groups: dict[tuple[bool, bool], list[PriceLine]] = {}
    for line in lines:
        groups.setdefault((line.sort in MATERIAL, line.taxed), []).append(line)
    names = {
        one.stage: record.stages.name_of(one.stage)
        + ("" if all_of_it else f", {int(one.part * 100)} % done")
        for one in done
    }
    worked = sum((line.amount for line in groups.pop((False, labour), [])), ZERO)
    found = list(progress_lines(worked, done, names, taxed=labour))
    part = part_done(done)
    for (_, taxed), others in groups.items():
        whole = sum((line.amount for line in others), ZERO)
        text = ", ".join(dict.fromkeys(line.sort for line in others)).capitalize()
        if not all_of_it:
            text += f", {int(part * 100)} % of {whole:,}"
        earned = cents(Fraction(whole) * part)
        if earned > 0:
            found.append(fixed_line(text, earned, taxed=taxed))
        elif earned:  # a price rounded down, where rounding is taxed unlike the labour
            found.append(less_line(text, -earned, taxed=taxed))
    return tuple(found)


def _taxed_now(lines: Sequence[PriceLine], shop: Shop) -> tuple[PriceLine, ...]:
    """The lines of an accepted price; where the shop has no tax now, none is taxed."""
    return tuple(replace(line, taxed=line.taxed and bool(shop.tax)) for line in lines)


def _by_rates(
    record: Record, shop: Shop, now: datetime, done: Sequence[StageDone]
) -> tuple[Line, ...]:
    """The hours worked and the feet and beams done, each at its rate, and the material."""
    taxed = "labour" in shop.taxed
    rates = shop.stage_rates
    parts = {stage.stage: stage.part for stage in done}
    names = record.stages.name_of
    hours: dict[tuple[str, Decimal], int] = {}
    for one in billed_time(record, shop.rounding, now).entries:
        entry = record.entry(one.key)
        usual = rates.get(one.stage)
        if entry.rate is None and usual is not None and usual.per != "hour":
            continue
        rate = entry.rate or (usual.amount if usual else hour_of(record, shop))
        hours[one.stage, rate] = hours.get((one.stage, rate), 0) + one.billed_seconds
    found = []
    order = [one.id for one in record.stages.work]
    for stage, rate in sorted(
        hours, key=lambda key: (order.index(key[0]) if key[0] in order else len(order), key)
    ):
        seconds = hours[stage, rate]
        text = f"{names(stage)}, {short(seconds)} at {rate}/h"
        found.append(hours_line(text, seconds, rate, taxed=taxed))
    for stage in parts:
        if stage in rates and rates[stage].per != "hour" and parts[stage]:
            found.append(_piecework(record, stage, rates[stage], parts[stage], taxed))
    for material in record.materials:
        line = material_line(material.material(shop), taxed=material.sort in shop.taxed)
        found.append(line)
    return tuple(line for line in found if line.amount)


def _piecework(record: Record, stage: str, rate: Rate, part: Fraction, taxed: bool) -> Line:
    name = record.stages.name_of(stage)
    if rate.per == "each":
        many = len(record.beams) * part
        text = f"{name}, {float(many):.4g} beams at {rate.amount} each"
        return fixed_line(text, amount(many, rate.amount), taxed=taxed)
    unknown = [beam.label for beam in record.beams if beam_length(beam) is None]
    if unknown:
        raise Refused(f"{name} goes by the foot, and no length is known of {', '.join(unknown)}.")
    inches = part * sum((beam_length(beam) or 0 for beam in record.beams), Fraction(0))
    text = f"{name}, {float(inches / INCHES_PER_FOOT):.1f} ft at {rate.amount}/ft"
    return feet_line(text, inches, rate.amount, taxed=taxed)


def _less(lines: tuple[Line, ...], billed: Billed) -> tuple[Line, ...]:
    """The lines with what was billed before taken off; none where that leaves nothing."""
    both = bool(billed.taxed) and bool(billed.untaxed)
    found = list(lines)
    for taxed, money in ((False, billed.untaxed), (True, billed.taxed)):
        if money:
            text = "Less billed before" + (_told(taxed).replace(" that is", ",") if both else "")
            found.append(less_line(text, money, taxed=taxed))
    sums = {True: ZERO, False: ZERO}
    for line in found:
        sums[line.taxed] += line.amount
    return tuple(found) if any(sums.values()) else ()


def _extras(
    record: Record, job: str, books: ShopRecord, now: datetime, *, hourly: bool
) -> tuple[ExtraLine, ...]:
    """The accepted change orders that no invoice bears yet; those by the hour at the end."""
    billed = extras_billed(job, books.trail)
    taxed = EXTRAS in books.shop.taxed and bool(books.shop.tax)
    found = []
    for order in record.orders:
        if not order.taken or order.row in billed or (order.hour is not None and not hourly):
            continue
        time = billed_time(record, books.shop.rounding, now, order=order.row)
        line = extra_line(order.order, time.billed_seconds, taxed=taxed)
        if order.hour is not None:
            line = replace(
                line, text=f"{line.text}, {short(time.billed_seconds)} at {order.hour}/h"
            )
        if line.amount:
            found.append(line)
    return tuple(found)

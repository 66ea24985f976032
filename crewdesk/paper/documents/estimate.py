"""An estimate as a document that the customer can accept, and as JSON."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Any

from crewdesk.job.books.billing import letterhead
from crewdesk.job.books.job_rows import Accepted
from crewdesk.job.books.pricing import Priced
from crewdesk.job.books.shop_record import ShopRecord
from crewdesk.job.books.work_value import MATERIAL, earned
from crewdesk.job.record import Record
from crewdesk.length import INCHES_PER_FOOT
from crewdesk.paper.documents.letter import Letter, Part, Row, money
from crewdesk.paper.plain import plain
from crewdesk.paper.sheet import facts_json, job_values
from crewdesk.trade.books.dates import day_text
from crewdesk.trade.books.durations import MINUTE, short
from crewdesk.trade.books.estimate import Price, PriceLine
from crewdesk.trade.books.invoice_lines import StageDone
from crewdesk.trade.books.money import SORTS


def estimate_letter(record: Record, books: ShopRecord, priced: Priced, today: date) -> Letter:
    """Return the estimate as sent: the price to sign, the beams, and how far the cost may be from
    the price; once accepted, the accepted price alone, with who accepted it and when."""
    found, accepted, job = priced.estimate, record.accepted, record.job
    facts = [("Date", day_text(today)), ("Job", job.name)]
    if job.site:
        facts.append(("Site", job.site))
    facts.append(("Beams", f"{len(priced.beams)}, {float(priced.feet):.1f} ft in all"))
    price = money(found.likely.total if accepted is None else accepted.total)
    if accepted is None:
        due = f"{price} to accept"
        rates, tax_rate, whole = _whole(record, priced), priced.pricing.tax, found.likely
        rows = _price_rows(record, whole.lines, rates)
        totals = (
            Row("Subtotal", money(whole.subtotal)),
            *_tax(whole.lines, tax_rate, whole.tax),
            Row("Price to accept", price, strong=True),
        )
        notes: tuple[str, ...] = (
            *((left_out_line(priced.left_out),) if priced.left_out else ()),
            f"Your signature accepts {price}. The work may cost from {money(found.low.total)} to "
            f"{money(found.high.total)}; that doesn't change the price.",
        )
    else:
        due = f"{price} accepted {day_text(accepted.on)} by {plain(accepted.by)}"
        stages = {stage.id for stage in record.stages}
        rates = [
            StageDone(one.stage, one.likely, Fraction(1))
            for one in accepted.stages
            if one.stage in stages
        ]
        rows = _price_rows(record, accepted.lines, rates)
        totals = (
            Row("Subtotal", money(accepted.subtotal)),
            *_tax(accepted.lines, accepted.tax_rate, accepted.tax),
            Row("Accepted price", price, strong=True),
        )
        notes = accepted_lines(accepted)[1:]
    return Letter(
        letterhead(record, books),
        job.customer,
        "Estimate",
        tuple(facts),
        (Part("Work included", _beams(record, priced)), Part("Price", rows)),
        totals,
        (
            *notes,
            "Extra work is priced and accepted separately, by change order.",
            *((books.shop.terms_text,) if books.shop.terms_text else ()),
        ),
        signing=accepted is None,
        due=due,
    )


def _beams(record: Record, priced: Priced) -> tuple[Row, ...]:
    """Return the beams by room and section: how many, and how many feet."""
    groups: dict[tuple[str, str, str], list[Fraction]] = {}
    known = (beam for beam in record.beams if beam.label not in priced.left_out)
    for beam, one in zip(known, priced.beams, strict=True):
        key = (beam.room, one.section, one.ceiling)
        groups.setdefault(key, []).append(Fraction(one.length) / INCHES_PER_FOOT)
    return tuple(
        Row(
            f"{room}: {len(feet)} beam{'' if len(feet) == 1 else 's'}, {section}"
            + (f", {ceiling} ceiling" if ceiling != "flat" else ""),
            f"{float(sum(feet)):.1f} ft",
        )
        for (room, section, ceiling), feet in groups.items()
    )


def _whole(record: Record, priced: Priced) -> list[StageDone]:
    """Return the stages of an estimate, each as if all of it were done."""
    stages = {stage.id for stage in record.stages}
    return [
        StageDone(one.rate.stage, one.likely, Fraction(1))
        for one in priced.estimate.stages
        if one.rate.stage in stages
    ]


def _price_rows(
    record: Record, lines: Sequence[PriceLine], whole: Sequence[StageDone]
) -> tuple[Row, ...]:
    """The work by stage with all that is put on it, as progress invoices bill it; then the
    material, each by itself."""
    material = [line for line in lines if line.sort in MATERIAL]
    work = [line for line in lines if line.sort not in MATERIAL]
    by_stage = earned(work, whole, record.stages.name_of, all_of_it=True)
    amounts = [(one.text, one.amount) for one in by_stage] + [(m.key, m.amount) for m in material]
    return tuple(Row(text, money(amount)) for text, amount in amounts if amount)


def _tax(lines: Sequence[PriceLine], rate: Decimal, tax: Decimal) -> tuple[Row, ...]:
    if not rate:
        return ()
    taxed = sum((line.amount for line in lines if line.taxed), Decimal(0))
    on = f" on {money(taxed)}" if taxed != sum(line.amount for line in lines) else ""
    return (Row(f"Tax, {rate.normalize():f}%{on}", money(tax)),)


@dataclass(frozen=True)
class PriceRow:
    """A row of prices: low, likely, high and accepted, or None if there is none; `sum_` if it is a
    total of all lines."""

    text: str
    amounts: tuple[Decimal | None, ...]
    sum_: bool = False

    @property
    def prices(self) -> tuple[str, ...]:
        """Each as it is shown, or "" if there is none."""
        return tuple("" if one is None else money(one) for one in self.amounts)


def price_rows(
    record: Record, priced: Priced | None, accepted: Accepted | None
) -> tuple[PriceRow, ...]:
    """Return the prices of an estimate line by line, beside the accepted ones, if any."""
    found = priced.estimate if priced else None
    prices = (found.low, found.likely, found.high) if found else (None, None, None)
    columns = [_by_line(record, one.lines) if one else {} for one in (*prices, accepted)]
    keys = dict.fromkeys(key for column in columns for key in column)
    order = sorted(keys, key=lambda key: SORTS.index(key[0]))
    rows = [
        PriceRow(key[1], tuple(c.get(key) or None for c in columns))
        for key in order
        if any(column.get(key) for column in columns)
    ]
    sums = [
        (one.subtotal, one.tax, one.total) if one else (None, None, None)
        for one in (*prices, accepted)
    ]
    for place, text in enumerate(("Subtotal", "Tax", "Total")):
        rows.append(PriceRow(text, tuple(one[place] for one in sums), sum_=True))
    return tuple(rows)


def _by_line(record: Record, lines: tuple[PriceLine, ...]) -> dict[tuple[str, str, int], Decimal]:
    """Return amounts by sort, text and, for equal lines, place."""
    found: dict[tuple[str, str, int], Decimal] = {}
    for line in lines:
        text, place = _line_text(record, line), 0
        while (line.sort, text, place) in found:
            place += 1
        found[line.sort, text, place] = line.amount
    return found


def estimate_lines(record: Record, priced: Priced) -> tuple[str, ...]:
    """Return the lines below the document on the screen: the reasons for the price."""
    head = "Why"
    if record.accepted is not None:
        head = f"Why an estimate made today would be {money(priced.estimate.likely.total)}"
    lines = ["", head, *(f"  {plain(reason)}" for reason in joined_reasons(priced.reasons))]
    if record.accepted is not None and priced.left_out:
        lines.append(f"  {left_out_line(priced.left_out)}")
    jobs = len(priced.past)
    if jobs:
        lines.append(f"  It is based on {jobs} finished job{('' if jobs == 1 else 's')} of yours.")
    else:
        lines.append("  The rates are defaults until you finish a job.")
    if record.accepted is not None:
        lines += ["", *accepted_lines(record.accepted)]
    return tuple(lines)


def left_out_line(beams: Sequence[str]) -> str:
    """Return which beams a price leaves out, and why, in a sentence."""
    isn_t = "isn't" if len(beams) == 1 else "aren't"
    return f"{plain(', '.join(beams))} {isn_t} included: the length isn't known yet."


_REASON = re.compile(
    r"(?P<of>[^:]+): (?:(?P<minutes>\d+(?:\.\d+)?) min(?P<rate> at [^;]+); )?(?P<why>.+)"
)
"""A reason of a stage or a material: what it is of, its minutes and their rate, and why."""


def joined_reasons(reasons: Sequence[str]) -> tuple[str, ...]:
    """Return the reasons of an estimate, those that differ only in stage or material as one;
    times in hours and minutes, to the nearest minute."""
    groups: dict[tuple[str, str], list[str]] = {}
    for reason in reasons:
        found = _REASON.fullmatch(reason.replace(".0%", "%"))
        if found is None:
            groups[reason, ""] = []
            continue
        of, time = found["of"], ""
        if found["minutes"]:
            time = f" {short(round(Decimal(found['minutes'])) * MINUTE) or '0 min'}"
        groups.setdefault((found["rate"] or "", found["why"]), []).append(f"{of}{time}")
    return tuple(
        f"{(', ' if rate else '; ').join(of)}{rate}: {why}" if of else rate
        for (rate, why), of in groups.items()
    )


def accepted_lines(accepted: Accepted) -> tuple[str, ...]:
    """Return what was accepted, in a line."""
    without = plain(", ".join(accepted.left_out))
    left_out = (f"The accepted price doesn't include {without}.",) if without else ()
    return (
        f"Accepted on {day_text(accepted.on)} by {plain(accepted.by)}: "
        f"{money(accepted.total)}, subtotal {money(accepted.subtotal)}. Later "
        "estimates don't change it.",
        *left_out,
    )


def estimate_values(id_: str, record: Record, priced: Priced) -> dict[str, Any]:
    """Return the estimate as JSON: money as decimal strings, minutes as exact fractions and as
    shown."""
    found = priced.estimate
    return {
        "job": job_values(id_, record.job),
        "beams": [
            {
                **facts_json(one, "name", "count"),
                "feet": round(float(one.length) / 12, 3),
                **facts_json(one, "section", "ceiling"),
            }
            for one in priced.beams
        ],
        "feet": round(float(priced.feet), 3),
        "left_out": list(priced.left_out),
        "stages": [
            {
                "stage": one.rate.stage,
                "name": record.stages.name_of(one.rate.stage),
                "minutes_per_foot": round(float(one.rate.per_foot), 3),
                "minutes_per_beam": round(float(one.rate.per_beam), 3),
                "low": round(float(one.low), 1),
                "likely": round(float(one.likely), 1),
                "high": round(float(one.high), 1),
                "jobs": one.rate.jobs,
                "default": one.rate.how == "default",
            }
            for one in found.stages
        ],
        **{key: _price(record, getattr(found, key)) for key in ("low", "likely", "high")},
        "reasons": list(priced.reasons),
        "past_jobs": len(priced.past),
        "accepted": accepted_values(record.accepted),
    }


def accepted_values(accepted: Accepted | None) -> dict[str, Any] | None:
    """Return the accepted estimate as JSON; None if there is none."""
    if accepted is None:
        return None
    text = facts_json(accepted, "on", "by", "subtotal", "tax", "total")
    return {**text, "left_out": list(accepted.left_out)}


def _price(record: Record, price: Price) -> dict[str, Any]:
    return {
        "lines": [
            {
                "text": _line_text(record, line),
                **facts_json(line, "sort", "amount", "taxed"),
            }
            for line in price.lines
        ],
        **facts_json(price, "subtotal", "tax", "total"),
    }


def _line_text(record: Record, line: PriceLine) -> str:
    if line.sort == "labour":
        return record.stages.name_of(line.key)
    return line.key.capitalize() if line.key == line.sort else line.key

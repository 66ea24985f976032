"""Accepting an estimate: it is kept as it was, with its date."""

from datetime import date, datetime
from decimal import Decimal

from crewdesk.errors import NotAllowed
from crewdesk.job.change import Change, Doc, edit
from crewdesk.job.record import Record
from crewdesk.job.words import LONGEST_NAME, checked_line
from crewdesk.trade.books.estimate import Estimate


def accept_estimate(
    record: Record,
    found: Estimate,
    by: str,
    on: date,
    now: datetime,
    *,
    today: date,
    tax_rate: Decimal,
    beams: tuple[str, ...] = (),
    reasons: tuple[str, ...] = (),
) -> Change:
    """Return the change that keeps an estimate as accepted; one accepted before is superseded.

    today: the business's day at `now`. Raises `NotAllowed` where `on` is after it.
    """
    by = checked_line(by, "name of who accepts", most=LONGEST_NAME)
    if not by:
        raise NotAllowed("Say who accepted the estimate; nothing was changed.")
    if on > today:
        raise NotAllowed(f"{on} is in the future; an estimate is accepted today or earlier.")
    price = found.likely
    doc: Doc = {
        "on": on.isoformat(),
        "by": by,
        "lines": [{**vars(line), "amount": str(line.amount)} for line in price.lines],
        "tax_rate": str(tax_rate),
        "tax": str(price.tax),
        "total": str(price.total),
        "low": str(found.low.total),
        "high": str(found.high.total),
        "stages": [
            {
                "stage": one.rate.stage,
                "low": str(one.low),
                "likely": str(one.likely),
                "high": str(one.high),
                "jobs": one.rate.jobs,
            }
            for one in found.stages
        ],
        "beams": list(beams),
        "reasons": list(reasons),
    }
    what = f"{by} accepted the estimate of {price.total}"
    if record.accepted is not None:
        what += f", in place of the one of {record.accepted.total}"
    at = ("accepted", record.new_row("accepted"))
    return Change(what, (edit(record.tables, at, doc),), now)

"""A sheet: what a command prints about a job, in lines, as one JSON object or as CSV (RFC 4180)."""

from collections.abc import Callable, Iterable, Sequence
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Any, NamedTuple

from crewdesk.job.job_row import Job
from crewdesk.paper.plain import plain


class Sheet(NamedTuple):
    """A command's output: `lines` of text; `tell` returns the same content as one JSON object,
    built only when asked for."""

    lines: tuple[str, ...]
    tell: Callable[[], dict[str, Any]]

    @property
    def values(self) -> dict[str, Any]:
        """The content as one JSON object."""
        return self.tell()


def heading(job: Job, what: str) -> str:
    """Return the sheet's first line: the job's name, the site and the sheet's subject."""
    where = f", {plain(job.site)}" if job.site else ""
    return f"{plain(job.name)}{where}: {what}"


def facts_json(one: object, *names: str) -> dict[str, Any]:
    """Return attributes of a value as JSON, by their names: money and exact numbers as text, days
    and times in ISO 8601. ``"date=issued_on"`` names the attribute `issued_on` `date`."""
    found: dict[str, Any] = {}
    for name in names:
        key, _, attribute = name.partition("=")
        value = getattr(one, attribute or key)
        if isinstance(value, date):
            value = value.isoformat()
        elif isinstance(value, Decimal | Fraction):
            value = str(value)
        found[key] = value
    return found


def job_values(id_: str, job: Job) -> dict[str, str]:
    """Return the job as every sheet's JSON names it."""
    return {"id": id_, **facts_json(job, "name", "customer", "site"), "step": job.step.name}


_ACTS = tuple("=+-@\uff1d\uff0b\uff0d\uff20")
"""Characters that start a formula, also in full width, from OWASP's page on CSV injection (from
memory)."""


def csv_text(heads: Sequence[str], rows: Iterable[Sequence[object]]) -> str:
    """Return rows as CSV under a line of heads, lines ended by CR LF, quoted as needed.

    Text that a spreadsheet would treat as a formula gets a leading apostrophe, so that it is shown
    and not computed; numbers stay unchanged.
    """
    import csv  # few commands print it
    import io

    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(heads)
    for row in rows:
        writer.writerow([_safe(cell) for cell in row])
    return out.getvalue()


def _safe(cell: object) -> str:
    if not isinstance(cell, str):
        return "" if cell is None else str(cell)
    text = plain(cell)
    return f"'{text}" if text.lstrip().startswith(_ACTS) else text

"""Rows as CSV by RFC 4180, safe to open in a spreadsheet."""

import csv
import io
from collections.abc import Iterable, Sequence

from crewdesk.paper.plain import plain

_ACTS = tuple("=+-@\uff1d\uff0b\uff0d\uff20")
"""Also in full width, as OWASP's page on CSV injection has them (from memory)."""


def csv_text(heads: Sequence[str], rows: Iterable[Sequence[object]]) -> str:
    """Rows under a line of heads, each ended by CR LF, quoted where that is needed.

    A text that begins with a sign by which spreadsheets tell a formula gets an
    apostrophe ahead of it, so that it is shown and not worked out; numbers stay as
    they are.
    """
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

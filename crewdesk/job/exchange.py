"""A whole job as one JSON document, out and in, without loss.

The document is `{"crewdesk": "job", "schema": 1, "job": {...}, "beams": {row: {...}},
"entries": {row: {...}}, "history": [...]}`; DEVELOPERS.md tells each part. `history`
holds every change that led there, oldest first, and may be left out.
"""

from typing import Any

from crewdesk.job.change import Change, Doc, Tables
from crewdesk.job.piece import KIND_OF
from crewdesk.job.record import JOB_ROW, Record
from crewdesk.job.refused import Refused
from crewdesk.job.undoing import Undoing

SCHEMA = 1
DEEPEST = 40
MOST_ROWS = 100_000


def to_document(tables: Tables, history: list[Change]) -> Doc:
    """The document of a job."""
    return {
        "crewdesk": "job",
        "schema": SCHEMA,
        "job": tables["job"][JOB_ROW],
        "beams": tables.get("beams", {}),
        "entries": tables.get("entries", {}),
        "history": [change.to_doc() for change in history],
    }


def from_document(document: Any) -> tuple[Tables, list[Change]]:
    """The tables and the history of a document; raises `Refused` where it is no job."""
    if not isinstance(document, dict) or document.get("crewdesk") != "job":
        raise Refused('That is no crewdesk job: a job\'s file begins {"crewdesk": "job", ...}.')
    if document.get("schema") != SCHEMA:
        raise Refused(
            f"That job has schema {document.get('schema')!r}; this crewdesk reads {SCHEMA}."
        )
    _shallow(document)
    tables: Tables = {"job": {JOB_ROW: document.get("job", {})}}
    for table in ("beams", "entries"):
        rows = document.get(table, {})
        if not isinstance(rows, dict) or len(rows) > MOST_ROWS:
            raise Refused(f"The {table} of that job must be an object of at most {MOST_ROWS} rows.")
        for row, doc in rows.items():
            if not (row.isascii() and row.isdigit() and row == str(int(row)) and row != "0"):
                raise Refused(f"Row {row!r} among the {table} is not a number from 1 up.")
            if not isinstance(doc, dict):
                raise Refused(f"Row {row} among the {table} is not an object.")
        tables[table] = rows
    for doc in tables["beams"].values():
        _with_pieces(doc)
    Record(tables).check_all()
    return tables, _history(document.get("history", []))


def _with_pieces(beam: Doc) -> None:
    """Give a beam written by hand the pieces and the empty parts that it left out."""
    pieces = beam.setdefault("pieces", {key: {} for key in KIND_OF})
    if isinstance(pieces, dict):
        for piece in pieces.values():
            if isinstance(piece, dict):
                piece.setdefault("readings", {})
                piece.setdefault("steps", {})


def _history(docs: Any) -> list[Change]:
    try:
        history = [Change.from_doc(doc) for doc in docs]
        undoing = Undoing()
        for number, change in enumerate(history, 1):
            undoing.note(number, change.undoes, change.redoes)
    except (KeyError, TypeError, ValueError, AttributeError):
        raise Refused("The history of that job is not a list of changes.") from None
    return history


def _shallow(document: Doc) -> None:
    level: list[Any] = [document]
    for _ in range(DEEPEST):
        level = [
            inner
            for one in level
            for inner in (
                one.values() if isinstance(one, dict) else one if isinstance(one, list) else ()
            )
        ]
        if not level:
            return
    raise Refused(f"That job is nested deeper than {DEEPEST} levels.")

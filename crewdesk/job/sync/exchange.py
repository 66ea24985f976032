"""Export and import a whole job as one JSON document, without loss.

The document is `{"crewdesk": "job", "schema": 2, "job": {...}, "beams": {row: {...}}, "entries":
{row: {...}}, "history": [...]}`, and `materials`, `orders`, `accepted`, `boards` and `unsettled` in
the shape of `entries` if the job has any; DEVELOPERS.md describes each part. `history` holds every
change, oldest first, and may be left out.
"""

from typing import Any

from crewdesk.errors import CrewdeskError, NotAllowed
from crewdesk.job.beams.forms import FORMS, USUAL
from crewdesk.job.change import Change, Doc, Tables, as_json, put, rows_after
from crewdesk.job.invariants import orders_astray
from crewdesk.job.parsing import moment, places_of
from crewdesk.job.record import JOB_ROW, Record
from crewdesk.job.steps.step_effects import check_circles, check_needs
from crewdesk.job.steps.usual_stages import check_kinds
from crewdesk.job.sync.undoing import Undoing
from crewdesk.job.text_limits import brief, checked_note

SCHEMA = 2
READ = (1, 2)
"""The schemas that can be read. In schema 1 check-offs keep no figures (see
`crewdesk.job.cuts.changed_cuts`)."""
MAY_LACK = ("materials", "orders", "accepted", "boards", "unsettled")
DEEPEST = 40
MOST_ROWS = 100_000
LONGEST_TEXT = 10_000
LARGEST_NUMBER = 10**15


def to_document(tables: Tables, history: list[Change]) -> Doc:
    """Return the document of a job."""
    return {
        "crewdesk": "job",
        "schema": SCHEMA,
        "job": tables["job"][JOB_ROW],
        "beams": tables.get("beams", {}),
        "entries": tables.get("entries", {}),
        **{table: tables[table] for table in MAY_LACK if table in tables},
        "history": [change.to_doc() for change in history],
    }


def from_document(document: Any, *, kept: bool = False) -> tuple[Tables, list[Change]]:
    """Return the tables and the history of a document; raises `NotAllowed` if it isn't a job.

    kept: the job was in a data folder, so rows that an older version accepted are accepted. Such a
    job, one with its history and one of an older schema may have needs that their pieces can't
    have; `contradictions` lists them. Only steps that need themselves or each other are refused.
    """
    if not isinstance(document, dict) or document.get("crewdesk") != "job":
        raise NotAllowed(
            'That isn\'t a crewdesk job. A job\'s file begins {"crewdesk": "job", ...}.'
        )
    _sane(document)
    schema = document.get("schema")
    if type(schema) is not int or schema not in READ:
        read = " and ".join(map(str, READ))
        raise NotAllowed(f"That job has schema {brief(schema)}. This crewdesk reads {read}.")
    document = as_json(document)
    if not isinstance(document.get("job", {}), dict):
        raise NotAllowed(f"That job's file is damaged: its 'job' is {brief(document['job'])}.")
    tables: Tables = {"job": {JOB_ROW: document.get("job", {})}}
    for table in ("beams", "entries", *(one for one in MAY_LACK if one in document)):
        rows = document.get(table, {})
        if not isinstance(rows, dict) or len(rows) > MOST_ROWS:
            raise NotAllowed(f"That job's {table} are damaged, or there are more than {MOST_ROWS}.")
        for row, doc in rows.items():
            if not isinstance(doc, dict):
                raise NotAllowed(f"Row {brief(row)} of the {table} is damaged.")
        tables[table] = rows
    for doc in tables["beams"].values():
        _with_pieces(doc)
    record = Record(tables)
    if kept:
        record.check_all()
    else:
        _check_rows(record)
    history = _history(document.get("history", []))
    _leads_to(tables, history)
    if kept or history or schema < SCHEMA:
        check_circles(record.stages)
    else:
        check_needs(record.stages)
        check_kinds(record.stages)
    return tables, history


NAME_OF_TABLE = {
    "job": "",
    "beams": "Beam",
    "entries": "Time entry",
    "materials": "Material",
    "orders": "Change order",
    "accepted": "Accepted estimate",
    "boards": "Board",
    "unsettled": "Unsettled change",
}


def _check_rows(record: Record) -> None:
    """Check every row by the rules for changes; raises `NotAllowed` naming the row and the
    field."""
    for table, rows in record.tables.items():
        for row, doc in rows.items():
            try:
                record.check_row(table, row, doc)
            except CrewdeskError as refused:
                raise NotAllowed(told_of(table, row, refused)) from None
    record.check_between()
    for sentence in orders_astray(record.tables).values():
        raise NotAllowed(sentence)


def told_of(table: str, row: str, refused: CrewdeskError) -> str:
    """Return an error's sentence, beginning with its row and field."""
    said = str(refused)
    name = f"{NAME_OF_TABLE[table]} {brief(row)[1:-1]}" if table != "job" else ""
    places = [one for one in (name, *places_of(refused)) if one]
    return said if not places or said.startswith(places[0]) else f"{', '.join(places)}: {said}"


def _with_pieces(beam: Doc) -> None:
    """Return a hand-written beam with the pieces and empty parts that it left out."""
    form = FORMS.get(str(beam.get("form", USUAL)), FORMS[USUAL])
    pieces = beam.setdefault("pieces", {})
    if isinstance(pieces, dict):
        for key in form.pieces:
            pieces.setdefault(key, {})
        for piece in pieces.values():
            if isinstance(piece, dict):
                piece.setdefault("readings", {})
                piece.setdefault("steps", {})


def _history(docs: Any) -> list[Change]:
    if not isinstance(docs, list):
        raise NotAllowed("That job's history is damaged: it isn't a list of changes.")
    undoing, history = Undoing(), []
    for number, doc in enumerate(docs, 1):
        try:
            change = Change.from_doc(doc)
            undoing.note(number, change)
            _checked(change, doc)
        except (KeyError, TypeError, ValueError, AttributeError):
            raise NotAllowed(f"Change {number} in that job's history is damaged.") from None
        history.append(change)
    return history


def _checked(change: Change, doc: Doc) -> None:
    """Raise `NotAllowed` or `ValueError` if a change is not in the form that crewdesk writes."""
    checked_note(change.what, "change's wording")
    moment(doc["when"], "change")
    for one in change.edits:
        if len(one.at) < 2 or not all(isinstance(key, str) for key in one.at):
            raise ValueError
    for number in (change.undoes, change.redoes):
        if number is not None and type(number) is not int:
            raise ValueError
    if not all(isinstance(line, str) for line in change.of):
        raise ValueError


def _leads_to(tables: Tables, history: list[Change]) -> None:
    """Undo the history step by step; raise `NotAllowed` if it doesn't lead to the tables."""
    then = {table: dict(rows) for table, rows in tables.items()}
    for number, change in reversed(list(enumerate(history, 1))):
        try:
            put(then, rows_after(then, change.taken_back(number, change.when)))
        except CrewdeskError:
            raise NotAllowed(
                f"Change {number} in that job's history doesn't lead to the job as it "
                "is. Leave the history out to import the job without it."
            ) from None


def _sane(document: Doc) -> None:
    """Raise `NotAllowed` if a document is deeper than `DEEPEST` or holds values that no job has."""
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
        for one in level:
            if isinstance(one, str) and len(one) > LONGEST_TEXT:
                raise NotAllowed(f"That job has a text of more than {LONGEST_TEXT} characters.")
            if isinstance(one, int) and abs(one) > LARGEST_NUMBER:
                raise NotAllowed("That job has a number that is too large.")
    raise NotAllowed(f"That job's file is nested too deeply, over {DEEPEST} levels.")

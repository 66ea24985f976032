"""A whole record in one file, replaced all at once or not at all.

The file is one JSON object on two lines. The first is a small head: its kind, its schema, its time,
its place in the history, the other histories that it includes, a summary for the list of jobs and
the SHA-256 over head and body. The second is the body, TinyDB's tables.

It is written to a temporary file in the same folder, flushed, fsynced and renamed,
and the folder is fsynced. The last `GENERATIONS` files are kept beside it as
`NAME.json.1` (the newest) and so on; files are only renamed, never written in place.
"""

import json
import os
import re
from collections.abc import Callable
from contextlib import suppress
from datetime import datetime
from hashlib import sha256
from pathlib import Path
from typing import NamedTuple

from crewdesk.errors import Damaged, Newer
from crewdesk.job.change import Doc, Tables
from crewdesk.job.text_limits import brief
from crewdesk.store.disk import (
    AFRESH,
    open_handle,
    open_to_read,
    read_bytes,
    replace,
    sync,
    sync_folder,
    unlink,
)

SCHEMA = 4
GENERATIONS = 3
MOST_HELD = 400
_SEAL = re.compile(rb',"sha256":"([0-9a-f]{64})",\n\Z')
_BODY = b'"tables":'


class Place(NamedTuple):
    """A place in a history, after a change: its number, the byte after its line, its chain hash (""
    if unknown)."""

    changes: int = 0
    bytes: int = 0
    seal: str = ""


START = Place()


class Head(NamedTuple):
    """The head of a whole copy.

    `place` is how much of the history the tables include; `holds` are the chain hash of its first
    line, then those at the ends of other histories, and of this one before, that the tables include
    completely.
    """

    kind: str
    written: datetime
    place: Place
    summary: Doc
    holds: tuple[str, ...] = ()


class Checkpoint(NamedTuple):
    """A head and its tables."""

    head: Head
    tables: Tables


def pack(checkpoint: Checkpoint) -> bytes:
    """Return the bytes of a checkpoint's file."""
    head = _dump(
        {
            "crewdesk": checkpoint.head.kind,
            "schema": SCHEMA,
            "written": checkpoint.head.written.isoformat(),
            "history": checkpoint.head.place._asdict(),
            "holds": [*checkpoint.head.holds[:1], *checkpoint.head.holds[1:][-MOST_HELD:]],
            "summary": checkpoint.head.summary,
        }
    )
    body = _BODY + _dump(checkpoint.tables) + b"}\n"
    seal = sha256(head + b"\n" + body).hexdigest().encode()
    return head[:-1] + b',"sha256":"' + seal + b'",\n' + body


def unpack(data: bytes, path: Path, kind: str) -> Checkpoint:
    """Return the checkpoint in a file's bytes; raises `Damaged`."""
    first, _, body = data.partition(b"\n")
    head, seal = _head(first + b"\n", path, kind)
    bare = first[: -len(b',"sha256":"') - 64 - len(b'",')] + b"}"
    if sha256(bare + b"\n" + body).hexdigest().encode() != seal:
        raise Damaged(path, "its checksum doesn't match its contents")
    try:
        tables = json.loads(b"{" + body)["tables"]
        if not all(isinstance(row, dict) for rows in tables.values() for row in rows.values()):
            raise ValueError
    except (ValueError, KeyError, AttributeError, TypeError, RecursionError):
        raise Damaged(path, "its tables aren't JSON") from None
    return Checkpoint(head, tables)


def read(path: Path, kind: str, *, named: bool = False) -> Checkpoint:
    """Return the checkpoint in a file; raises `Damaged`, or `OSError` if it can't be read at all.

    named: the user named this file (see `regular`).
    """
    try:
        return unpack(read_bytes(path, named=named), path, kind)
    except FileNotFoundError:
        raise Damaged(path, "it is gone") from None


def read_head(path: Path, kind: str, *, named: bool = False) -> Head:
    """Return only the head, its hash unchecked; raises as `read`."""
    try:
        with open_to_read(path, named=named) as file:
            return _head(file.readline(1_000_000), path, kind)[0]
    except FileNotFoundError:
        raise Damaged(path, "it is gone") from None


def _head(line: bytes, path: Path, kind: str) -> tuple[Head, bytes]:
    if not (seal := _SEAL.search(line)):
        raise Damaged(path, "it isn't a crewdesk file, or its beginning is lost")
    try:
        doc = json.loads(line[: seal.start()] + b"}")
        if doc["crewdesk"] != kind:
            raise Damaged(path, f"it is a crewdesk {doc['crewdesk']}, not a {kind}")
        doc = _forward(doc, path)
        history = doc["history"]
        place = Place(history["changes"], history["bytes"], history["seal"])
        written, holds = datetime.fromisoformat(doc["written"]), tuple(doc["holds"])
        head = Head(kind, written, place, doc["summary"], holds)
        if type(place.changes) is not int or type(place.bytes) is not int:
            raise TypeError
        if not isinstance(head.summary, dict) or min(place.changes, place.bytes) < 0:
            raise TypeError
        if not all(isinstance(seal, str) for seal in (place.seal, *holds)):
            raise TypeError
    except (ValueError, KeyError, TypeError, RecursionError):
        raise Damaged(path, "its beginning isn't what crewdesk writes") from None
    return head, seal[1]


def _from_1(doc: Doc) -> Doc:
    """Upgrade schema 1, which had no chain hashes; the place is computed when the history is
    read."""
    return {**doc, "history": {**doc["history"], "seal": ""}}


def _from_2(doc: Doc) -> Doc:
    """Upgrade schema 2, which kept no figures with a cut's check-off; they are computed from the
    readings of that time (see `crewdesk.job.cuts.changed_cuts`)."""
    return doc


def _from_3(doc: Doc) -> Doc:
    """Upgrade schema 3, where all machines wrote one file, which named no other history."""
    return {**doc, "holds": []}


FORWARD: dict[int, Callable[[Doc], Doc]] = {1: _from_1, 2: _from_2, 3: _from_3}
"""The upgrade of a head from each older schema to the next. A later schema that changes the tables
adds its step here; there are no downgrades."""


def _forward(doc: Doc, path: Path) -> Doc:
    schema = doc["schema"]
    if type(schema) is int and schema > SCHEMA:
        raise Newer(
            path, f"a newer crewdesk wrote it (schema {schema}, this one {SCHEMA}); update crewdesk"
        )
    if type(schema) is not int or schema < 1:
        raise Damaged(
            path, f"it has schema {brief(schema)}, and this crewdesk reads up to {SCHEMA}"
        )
    for older in range(schema, SCHEMA):
        doc = FORWARD[older](doc)
    return doc


def write(path: Path, checkpoint: Checkpoint, *, keep: bool = True) -> None:
    """Replace the file; raises `OSError`.

    The old one becomes the newest generation, unless `keep` is false.
    """
    put_file(path, pack(checkpoint), before=(lambda: _keep(path)) if keep else None)


def put_file(path: Path, data: bytes, *, before: Callable[[], None] | None = None) -> None:
    """Write a file atomically and fsync it; raises `OSError`.

    `before` is called once the new file is complete and not yet in place.
    """
    fresh = path.with_name(path.name + ".new")
    try:
        with os.fdopen(open_handle(fresh, AFRESH), "wb") as file:
            file.write(data)
            file.flush()
            sync(file.fileno())
        if before is not None:
            before()
        replace(fresh, path)
    except OSError:
        with suppress(OSError):
            unlink(fresh)
        raise
    sync_folder(path.parent)


def _keep(path: Path) -> None:
    """Rename every generation to the next number. If that stops half way, none is lost: the newest
    one and the history are enough for the record."""
    if not path.exists():
        return
    ages = [path, *(path.with_name(f"{path.name}.{age}") for age in range(1, GENERATIONS + 1))]
    free = next((at for at, one in enumerate(ages) if not one.exists()), GENERATIONS)
    for at in range(free, 0, -1):
        replace(ages[at - 1], ages[at])


def _dump(doc: object) -> bytes:
    return json.dumps(doc, separators=(",", ":")).encode()

"""A search index over all jobs, rebuilt from the jobs when they change.

It is an SQLite file (https://www.sqlite.org/fts5.html, the trigram tokenizer) and a cache only: it
may be deleted at any time, and an unreadable one is. A job is read again only if its files have
another size or time.
"""

import os
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager, suppress
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path

from crewdesk.errors import CrewdeskError, NotAllowed
from crewdesk.job.findable import findable
from crewdesk.store.desk import Desk

SHORTEST_WORD = 3
"""The length of the shortest word for the tokenizer; shorter ones are searched in the lines."""
MOST_LINES = 1_000_000
"""The most lines of a job; job N's rowids start at N times this number."""
_VERSION = 1
_TABLES = """
CREATE TABLE IF NOT EXISTS jobs (
    number INTEGER PRIMARY KEY, id TEXT NOT NULL UNIQUE, stamp TEXT NOT NULL
);
CREATE VIRTUAL TABLE IF NOT EXISTS lines USING fts5 (
    text, job UNINDEXED, sort UNINDEXED, beam UNINDEXED, piece UNINDEXED, tokenize='trigram'
);
"""


@dataclass(frozen=True)
class Found:
    """A line found in a job: the job's id, and its `Findable`."""

    job: str
    sort: str
    text: str
    beam: str
    piece: str


class SearchIndex:
    """The index of one data folder, kept in the folder `cache`."""

    def __init__(self, desk: Desk, cache: Path) -> None:
        self._desk = desk
        name = sha256(bytes(desk.folder.absolute())).hexdigest()[:16]
        self._path = cache / f"search-{name}.sqlite"

    def refresh(self, go_on: Callable[[], bool] = lambda: True) -> None:
        """Index what changed, while `go_on` returns true; finished jobs stay indexed."""
        with self._open() as base:
            known = dict(base.execute("SELECT id, stamp FROM jobs"))
            here = self._desk.ids()
            for id_ in known.keys() - set(here):
                self._forget(base, id_)
            for id_ in here:
                if not go_on():
                    return
                if (stamp := self._stamp(id_)) != known.get(id_):
                    self._read(base, id_, stamp)

    def find(self, text: str, most: int) -> list[Found]:
        """Return at most `most` lines with every word of a text."""
        words = text.casefold().encode("utf-8", "replace").decode("utf-8").split()
        if not words:
            return []
        long = [word for word in words if len(word) >= SHORTEST_WORD]
        wanted, values = [], []
        if long:
            wanted.append("lines MATCH ?")
            values.append(" ".join('"{}"'.format(word.replace('"', '""')) for word in long))
        for word in words:
            if word not in long:
                wanted.append("text LIKE ? ESCAPE '\\'")
                values.append(f"%{_escaped(word)}%")
        ask = f"SELECT job, sort, text, beam, piece FROM lines WHERE {' AND '.join(wanted)} LIMIT ?"
        with self._open() as base:
            return [Found(*row) for row in base.execute(ask, (*values, most))]

    def _stamp(self, id_: str) -> str:
        return repr(self._desk.stamps(id_))

    def _read(self, base: sqlite3.Connection, id_: str, stamp: str) -> None:
        lines: list[tuple[str, ...]] = []
        with suppress(CrewdeskError):
            record = self._desk.open(id_, writing=False).record
            lines = [(one.text, id_, one.sort, one.beam, one.piece) for one in findable(record)]
        with base:
            self._forget(base, id_)
            row = base.execute("INSERT INTO jobs (id, stamp) VALUES (?, ?)", (id_, stamp))
            first = (row.lastrowid or 0) * MOST_LINES
            base.executemany(
                "INSERT INTO lines (rowid, text, job, sort, beam, piece) VALUES (?, ?, ?, ?, ?, ?)",
                ((first + at, *line) for at, line in enumerate(lines[:MOST_LINES])),
            )

    @staticmethod
    def _forget(base: sqlite3.Connection, id_: str) -> None:
        for (number,) in base.execute("SELECT number FROM jobs WHERE id = ?", (id_,)).fetchall():
            first = number * MOST_LINES
            last = first + MOST_LINES - 1
            base.execute("DELETE FROM lines WHERE rowid BETWEEN ? AND ?", (first, last))
            base.execute("DELETE FROM jobs WHERE number = ?", (number,))

    @contextmanager
    def _open(self) -> Iterator[sqlite3.Connection]:
        """Return the index, a new one if there is none or it can't be read; raises `NotAllowed`."""
        try:
            base = _connected(self._path)
        except sqlite3.DatabaseError:
            with suppress(OSError):
                self._path.unlink(missing_ok=True)
            try:
                base = _connected(self._path)
            except sqlite3.DatabaseError as error:
                raise NotAllowed(f"Other jobs can't be searched: {error}.") from None
        with closing(base):
            try:
                yield base
                base.commit()
            except sqlite3.DatabaseError as error:
                raise NotAllowed(f"Other jobs can't be searched: {error}.") from None


def _connected(path: Path) -> sqlite3.Connection:
    if not path.exists():
        with suppress(OSError):
            path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
            os.close(os.open(path, os.O_WRONLY | os.O_CREAT, 0o600))
    base = sqlite3.connect(path, timeout=2)
    try:
        base.executescript("PRAGMA journal_mode=WAL; PRAGMA synchronous=NORMAL;")
        if base.execute("PRAGMA user_version").fetchone()[0] != _VERSION:
            base.executescript("DROP TABLE IF EXISTS jobs; DROP TABLE IF EXISTS lines;")
        base.executescript(f"{_TABLES} PRAGMA user_version={_VERSION};")
        base.execute("SELECT count(*) FROM jobs").fetchone()
    except sqlite3.DatabaseError:
        base.close()
        raise
    return base


def _escaped(word: str) -> str:
    return word.replace("\\", "\\\\").replace("%", "\\%").replace("_", "\\_")

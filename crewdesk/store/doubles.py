"""Copies of a job's folder in one data folder: the same job twice, by its beginning."""

from typing import NamedTuple

from crewdesk.errors import CrewdeskError
from crewdesk.job.record import Record
from crewdesk.store.desk import Desk
from crewdesk.store.history_lines import History
from crewdesk.store.job_file import KIND
from crewdesk.store.joining import Joining


class Double(NamedTuple):
    """A copy of the job with the id `of`. With `more`, changes were made in it that the other
    doesn't have."""

    of: str
    more: bool


def doubles(desk: Desk) -> dict[str, Double]:
    """Every copy of a job that is in the folder as well, by its id. Of the copies of one job that
    with the most changes is the job itself, of several alike that with the shortest id."""
    found: dict[str, Double] = {}
    by_name: dict[str, list[str]] = {}
    for id_, name in desk.beginnings().items():
        by_name.setdefault(name, []).append(id_)
    for ids in by_name.values():
        if len(ids) < 2:
            continue
        held = {id_: _history(desk, id_) for id_ in ids}
        first, *rest = sorted(ids, key=lambda id_: (-len(held[id_].lines), len(id_), id_))
        for id_ in rest:
            end = held[id_].end
            found[id_] = Double(first, bool(end) and end not in held[first].holds)
    return found


def _history(desk: Desk, id_: str) -> History:
    """All that the files of a job lead to; without lines where they can't be read."""
    path = desk.path(id_)
    try:
        return Joining(path, KIND, Record, rescue=True).joined().history
    except (CrewdeskError, OSError):
        return History(path, ())

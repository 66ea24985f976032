"""What `faults` finds in records that are made unsound on purpose."""

from copy import deepcopy
from datetime import timedelta

import pytest

from crewdesk.job.beams import take
from crewdesk.job.change import ABSENT, Change, Edit
from crewdesk.job.steps import restage, ticks
from crewdesk.job.steps.ticks import Spot
from crewdesk.job.time import clock
from tests.monkey.valid import exchanged, faults


@pytest.fixture
def sound(record, now):
    """A job's tables and the history that led to them, ticked, read and clocked."""
    history = []

    def make(change: Change) -> None:
        record.make(change)
        history.append(change)

    begin = tuple(
        Edit((table, row), ABSENT, deepcopy(doc))
        for table, rows in record.tables.items()
        for row, doc in rows.items()
    )
    history.append(Change("began", begin, now))
    spot = Spot("1", "A")
    make(take.take(record, spot, "run", take.typed_reading(record, "run", "12' 3", now)))
    make(ticks.tick(record, spot, "rip-side", now))
    make(clock.start(record, "rip", now))
    make(restage.add_step(record, "rip", "Look", ["side"], now))
    return record.tables, history


def test_a_sound_record_has_no_faults(sound, now) -> None:
    assert faults(*sound, now) == []
    assert exchanged(*sound) == []


def put(tables, path, value):
    here = tables
    for key in path[:-1]:
        here = here[key]
    here[path[-1]] = value


@pytest.mark.parametrize(
    ("path", "value", "told"),
    [
        (("entries", "1", "order"), "7", "change order 7, which is not there"),
        (("entries", "1", "stop"), "2026-03-02T07:31:00-05:00", "lies in the future"),
        (("entries", "1", "start"), "2026-03-02T07:31:00-05:00", "lies in the future"),
        (("job", "1", "name"), "Mill house", "leads elsewhere"),
        (("job", "1", "name"), "\x1b", "makes no sense"),
        (("beams", "1", "name"), "Cross", "makes no sense"),
        (("beams", "1", "form"), "box", "and its form"),
        (("job", "1", "planned"), [{"day": "2026-03-02"}] * 2, "planned days"),
        (
            ("entries", "2"),
            {"start": "2026-03-02T07:00:00-05:00", "stage": "rip"},
            "makes no sense",
        ),
        (
            ("beams", "1", "pieces", "A", "steps", "ease"),
            {"state": "done", "when": "2027-03-02T07:30:00-05:00"},
            "in the future",
        ),
    ],
)
def test_a_fault_is_found(sound, now, path, value, told) -> None:
    tables, history = deepcopy(sound[0]), sound[1]
    put(tables, path, value)
    assert any(told in one for one in faults(tables, history, now)), faults(tables, history, now)


def test_a_history_that_lies_is_found(sound, now) -> None:
    tables, history = sound
    early = ("beams", "1", "pieces", "A", "steps", "nail-side")
    mark = {"state": "done", "when": now.isoformat()}
    wrong = {
        "where the gate says": Change("ticked", (Edit(early, ABSENT, mark),), now),
        "which does not stand": Change("undone", (), now, undoes=77),
        "which was not undone last": Change("redone", (), now, redoes=2),
        "does not follow": Change("moved", (Edit(("beams", "1", "name"), "x", "y"),), now),
        "back in time": Change("early", (), now - timedelta(days=1)),
        "into the future": Change("late", (), now + timedelta(days=1)),
    }
    for told, change in wrong.items():
        found = faults(tables, [*history, change], now)
        assert any(told in one for one in found), (told, found)
    assert "leads elsewhere" in " ".join(faults(tables, history[:-1], now))

"""The list of jobs reads the heads of their files without their seals: whatever a head holds,
the list stands, and tells the job as it is or that its file can't be read."""

import json
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest

from crewdesk.job.beams import beams
from crewdesk.store.desk import Desk
from crewdesk.trade.cuts.section import Section

NOW = datetime.fromisoformat("2026-03-06T08:00:00-07:00")
SEAL = b',"sha256"'
SINCE = "2026-03-02T07:30:00-05:00"
WRONG: tuple[dict[str, Any], ...] = (
    {"name": [1]},
    {"name": {"x": 1}},
    {"name": "x", "customer": 5},
    {"site": None},
    {"running": "x"},
    {"running": None},
    {"running": {"since": "x", "stage": "y"}},
    {"running": {"since": SINCE}},
    {"running": {"sinbe": SINCE, "stage": "y"}},
    {"running": {"since": SINCE, "stage": 7}},
    {"running": {"since": SINCE[:-6], "stage": "y"}},
    {"behind": "x", "steps": "y"},
    {"beams": "x"},
    {"steps": 0.5, "behind": 1e308},
    {"steps": True},
)


@pytest.mark.parametrize("wrong", WRONG, ids=str)
def test_a_wrong_summary_upsets_no_list(tmp_path: Path, wrong: dict[str, Any]) -> None:
    desk = Desk(tmp_path / "data")
    id_ = desk.create(beams.new_job("Hill house", Section(8, 10), NOW))
    other = desk.create(beams.new_job("Mill", Section(8, 10), NOW))
    path = desk.path(id_)
    first, _, rest = path.read_bytes().partition(b"\n")
    head = json.loads(first[: first.index(SEAL)] + b"}")
    head["summary"] |= wrong
    made = json.dumps(head, separators=(",", ":")).encode()
    path.write_bytes(made[:-1] + first[first.index(SEAL) :] + b"\n" + rest)
    listed = {one.id: one for one in desk.jobs()}
    assert "can't be read" in listed[id_].trouble
    assert (listed[other].name, listed[other].trouble) == ("Mill", "")
    assert desk.clocks() == ()
    assert desk.find("mill") == other

"""`crewdesk jobs`: lists, puts away, removes and brings back."""

import io
import json
import sys

import pytest

from crewdesk.store.desk import Desk


@pytest.fixture
def hill(desk, job, now) -> str:
    job.close(now)
    return job.id


class Terminal(io.StringIO):
    """What is typed at a terminal."""

    def isatty(self) -> bool:
        return True


def test_jobs_are_listed_put_away_and_back(desk: Desk, hill: str, told) -> None:
    status, out = told("jobs")
    assert (status, out) == (0, "hill-house  Hill house, 2 beams, 0 of 78 steps done\n")
    assert told("jobs", "--put-away", "hill") == (0, "hill-house is put away.\n")
    assert "Hill house" not in (out := told("jobs")[1])
    assert "1 job put away: add --all to list it." in out
    assert "0 of 78 steps done, put away" in told("jobs", "--all")[1]
    (one,) = json.loads(told("jobs", "--json")[1])["jobs"]
    assert (one["id"], one["beams"], one["put_away"]) == ("hill-house", 2, True)
    # All else knows it as ever.
    assert told("cutlist", "hill")[0] == 0
    assert told("jobs", "--back", "hill") == (0, "hill-house is back in the list of jobs.\n")
    assert told("jobs")[1].startswith("hill-house  Hill house")
    assert told("undo", "hill")[0] == 0
    assert "put away" in told("jobs", "--all")[1]


def test_removing_asks_and_can_be_taken_back(desk: Desk, hill: str, told, monkeypatch) -> None:
    monkeypatch.setattr(sys, "stdin", io.StringIO("y\n"))
    status, out = told("jobs", "--remove", "hill")
    assert (status, desk.ids()) == (2, [hill])
    assert "Add --yes to remove hill-house" in out
    monkeypatch.setattr(sys, "stdin", Terminal("n\n"))
    assert told("jobs", "--remove", "hill")[0] == 2
    assert desk.ids() == [hill]
    monkeypatch.setattr(sys, "stdin", Terminal("y\n"))
    status, out = told("jobs", "--remove", "hill")
    assert (status, desk.ids()) == (0, [])
    assert "Its invoices stay in your books" in out
    (gone,) = json.loads(told("jobs", "--json")[1])["removed"]
    assert gone["name"] == "Hill house"
    assert f"--bring-back {gone['folder']}" in out
    assert gone["folder"] in told("jobs", "--all")[1]
    assert told("jobs", "--bring-back", gone["folder"]) == (
        0,
        "hill-house is back in the list of jobs.\n",
    )
    assert told("jobs", "--remove", "hill", "--yes")[0] == 0
    assert desk.ids() == []


def test_one_act_at_a_time(desk: Desk, hill: str, told) -> None:
    assert (
        "Choose one of --put-away and --remove"
        in told("jobs", "--put-away", "hill", "--remove", "hill")[1]
    )
    assert "Use --yes only with --remove" in told("jobs", "--yes")[1]
    assert "There is no job cabin" in told("jobs", "--put-away", "cabin")[1]

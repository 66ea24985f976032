"""What the crew reads with comes from Business settings, and no more of the shop with it."""

import json
import os
import subprocess
import sys
from datetime import UTC, datetime
from fractions import Fraction
from pathlib import Path

import pytest

from crewdesk.cli import main
from crewdesk.errors import CrewdeskError
from crewdesk.store.desk import Desk
from crewdesk.trade.cuts.instruments import USUAL_INSTRUMENTS

SAMPLE = Path(__file__).parents[2] / "sample_data" / "tamarack-bend.json"
NOW = datetime(2026, 3, 2, 7, 30, tzinfo=UTC)
PROBE = """
import sys
from crewdesk.cli import main
status = main(sys.argv[1:])
print(status, *sorted(one for one in sys.modules if "books" in one), file=sys.stderr)
"""


@pytest.fixture
def desk(tmp_path: Path, copy_data) -> Desk:
    return Desk(copy_data(tmp_path))


def test_without_business_settings_they_are_the_usual(desk: Desk) -> None:
    assert desk.crew().instruments == USUAL_INSTRUMENTS
    assert desk.open("tamarack-bend", writing=False).record.instruments == USUAL_INSTRUMENTS


def test_business_settings_say_what_they_are(desk: Desk) -> None:
    desk.shop.change(NOW, instruments={"laser": "1/8", "line_laser": "1/4 at 30'"})
    read = desk.open("tamarack-bend", writing=False).record.beams[0].instruments
    assert read.laser.own == Fraction(1, 8)
    assert read.line_laser.own == Fraction(1, 1440)
    assert read.tape == USUAL_INSTRUMENTS.tape
    shop = desk.shop.shop()
    assert shop.instruments == {"laser": "1/8", "line_laser": "1/4 at 30'"}
    desk.shop.change(NOW, instruments={})
    assert desk.crew().instruments == USUAL_INSTRUMENTS


@pytest.mark.parametrize("typed", [{"laser": "exact"}, {"level": "1"}, {"nose": "1/8"}, "1/8"])
def test_what_is_no_accuracy_is_not_kept(desk: Desk, typed: object) -> None:
    with pytest.raises(CrewdeskError):
        desk.shop.change(NOW, instruments=typed)
    assert desk.crew().instruments == USUAL_INSTRUMENTS


def test_settings_that_can_t_be_read_leave_the_usual(desk: Desk) -> None:
    (desk.folder / "shop.json").write_text("torn", "utf-8")
    assert desk.crew().instruments == USUAL_INSTRUMENTS


def test_a_cut_list_follows_them_and_loads_no_books(desk: Desk) -> None:
    def cut_list() -> tuple[str, list[str]]:
        done = subprocess.run(
            [sys.executable, "-c", PROBE, "cutlist", "tamarack", "--data", str(desk.folder)],
            capture_output=True,
            text=True,
            check=True,
            env={**os.environ, "PYTHONPATH": str(SAMPLE.parents[1])},
        )
        status, *books = done.stderr.split()
        assert status == "0"
        return done.stdout, books

    before, books = cut_list()
    assert "within (in): bottom edge 5/64," in before
    # Half of 1/32 and a laser's own error of 1/8: 9/64.
    desk.shop.change(NOW, instruments={"laser": "1/8"})
    after, books_after = cut_list()
    assert "within (in): bottom edge 9/64," in after
    assert books == books_after == []


def test_json_names_short_levels(desk: Desk, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["cutlist", "tamarack", "--json", "--data", str(desk.folder)]) == 0
    beams = json.loads(capsys.readouterr().out)["beams"]
    assert all(piece["cautions"] == [] for beam in beams for piece in beam["pieces"])

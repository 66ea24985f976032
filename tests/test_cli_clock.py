"""Commands save nothing with a time that can't be right, unless they are told that it is."""

from datetime import timedelta
from itertools import product
from pathlib import Path

import pytest

from crewdesk.cli import main
from crewdesk.store.desk import Desk
from tests.conftest import IMPORT_SAMPLE
from tests.sampled import sampled

SAVING = (
    IMPORT_SAMPLE,
    ("beams", "tamarack", "Attic: 1 beam 9' 7-1/4x6"),
    ("hours", "tamarack", "--add", "mon 7-8", "--stage", "1"),
    ("estimate", "tamarack", "--accept"),
    ("shop", "hour=90"),
    ("customers", "Ada", "phone=555-0140"),
    ("orders", "tamarack", "A shelf", "240"),
    ("materials", "tamarack", "Glue", "1", "8.00"),
    ("planned", "tamarack", "2026-06-01"),
    ("undo", "tamarack"),
    ("undo",),
)
OFF = (timedelta(days=-1), timedelta(minutes=-3), timedelta(days=400))
READING = (("progress", "tamarack"), ("check",), ("shop",), ("accounts",), ("export", "tamarack"))


@pytest.fixture
def data(tmp_path: Path, copy_data) -> Path:
    """A data folder with the sample job and a shop, written as the clock stands at first."""
    return copy_data(tmp_path / "data", IMPORT_SAMPLE, ("shop", "hour=85"))


def everything(data: Path) -> dict[str, bytes]:
    return {
        str(one.relative_to(data)): one.read_bytes()
        for one in data.rglob("*")
        if one.is_file() and one.suffix != ".lock"
    }


@pytest.mark.parametrize(("words", "off"), sampled(product(SAVING, OFF), 2))
def test_a_clock_that_can_not_be_right(
    data: Path, door_clock, capsys: pytest.CaptureFixture[str], words: tuple[str, ...], off
) -> None:
    before = everything(data)
    door_clock.at += off
    assert main(["--data", str(data), *words]) == 2
    out, said = capsys.readouterr()
    assert out == ""
    assert said.startswith("crewdesk: Nothing was saved: this computer's clock says 202")
    assert f"clock says {door_clock.at:%Y-%m-%d %H:%M}" in said
    assert "the last change was made at 2026-03-20 16:40" in said
    assert "add --now-is-right" in said
    assert everything(data) == before
    assert main(["--data", str(data), *words, "--now-is-right"]) == 0, capsys.readouterr().err
    assert everything(data) != before


@pytest.mark.parametrize("off", OFF)
def test_what_only_reads_goes_by_any_clock(data: Path, door_clock, off) -> None:
    before = everything(data)
    door_clock.at += off
    for reading in READING:
        assert main(["--data", str(data), *reading]) == 0
    assert everything(data) == before


def test_a_job_may_rest_for_years_beside_one_that_is_worked_on(
    data: Path, door_clock, capsys: pytest.CaptureFixture[str]
) -> None:
    door_clock.at += timedelta(days=360)
    assert main(["--data", str(data), "shop", "hour=95"]) == 0
    door_clock.at += timedelta(days=360)
    assert main(["--data", str(data), "undo", "tamarack"]) == 0, capsys.readouterr().err
    assert len(Desk(data).ids()) == 1


def test_two_computers_need_not_agree_to_the_second(data: Path, door_clock) -> None:
    door_clock.at -= timedelta(seconds=90)
    assert main(["--data", str(data), "shop", "hour=95"]) == 0

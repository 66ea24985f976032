"""Hostile texts in every command's print, in CSV, JSON, iCalendar and PDF: shown as text."""

import csv
import io
import json
import re
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import pytest
from pypdf import PdfReader

from crewdesk.cli import main
from crewdesk.commands import COMMANDS
from crewdesk.paper.sheet import csv_text
from crewdesk.store.desk import Desk
from tests.hostile.strings import NOT_TAKEN, TAKEN, fill_desk

NOW = datetime.fromisoformat("2026-03-06T08:00:00-07:00")
ACTS = ("=", "+", "-", "@", "\t", "\r", "\uff1d", "\uff0b", "\uff0d", "\uff20")
NUMBER = re.compile(r"-?\d+(\.\d+)?")


@pytest.fixture(scope="module")
def data(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, str]:
    folder = tmp_path_factory.mktemp("hostile") / "data"
    return folder, fill_desk(Desk(folder), NOW)


@pytest.fixture
def told(
    data: tuple[Path, str], monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> Callable[..., str]:
    """What a command prints about the job."""
    monkeypatch.setenv("CREWDESK_DATA", str(data[0]))

    def run(*words: str) -> str:
        assert main([data[1] if word == "JOB" else word for word in words]) == 0, (
            capsys.readouterr().err
        )
        return capsys.readouterr().out

    return run


def test_the_folder_holds_nothing_that_a_name_led_elsewhere(data: tuple[Path, str]) -> None:
    folder, id_ = data
    assert re.fullmatch("[a-z0-9-]+", id_)
    assert {path.name for path in folder.parent.iterdir()} == {"data"}
    assert {path.name for path in folder.iterdir() if path.is_dir()} == {"jobs", "shop"}


PRINTED = (
    "cutlist JOB", "progress JOB", "hours JOB", "estimate JOB", "invoice JOB",
    "invoice JOB --number 1", "took JOB", "planned JOB", "accounts", "accounts --year 2026",
    "shop", "stock", "takeoff JOB", "customers", "orders JOB", "materials JOB", "keys", "check",
    "held JOB", "dryfit JOB", "scribecut JOB", "readings JOB",
)  # fmt: skip
ELSEWHERE = {
    "demo",
    "import",
    "export",
    "undo",
    "backup",
    "restore",
    "settle",
    "pay",
    "credit",
    "beams",
    "jobs",
    "sheet",
}
"""Commands that print no text of the user, or are walked over below or in `test_files.py`."""


def test_every_command_is_walked_over() -> None:
    assert {words.split()[0] for words in PRINTED} | ELSEWHERE == set(COMMANDS)


@pytest.mark.parametrize("words", PRINTED)
def test_prints_are_seen_whole(told: Callable[..., str], words: str) -> None:
    printed = told(*words.split())
    assert printed.replace("\n", "").isprintable()
    assert words.startswith(("accounts", "keys", "check")) or any(text in printed for text in TAKEN)
    if words in ("cutlist JOB", "estimate JOB", "shop"):
        assert json.loads(told(*words.split(), "--json"))


@pytest.mark.parametrize("word", ["A" * 100_000, "9" * 5000, "\x1b[31m\u202e", "[b]"])
def test_a_word_that_is_no_number_is_told_shortly(
    capsys: pytest.CaptureFixture[str], word: str
) -> None:
    with pytest.raises(SystemExit):
        main(["pay", word, "1"])
    said = capsys.readouterr().err
    assert said[:-1].isprintable()
    assert len(said) < 400


def test_what_is_taped_to_the_saw_shows_it_as_text(
    told: Callable[..., str], tmp_path: Path
) -> None:
    target = tmp_path / "sheet.pdf"
    assert told("sheet", "JOB", "batches", "--to", str(target)).replace("\n", "").isprintable()
    text = "".join(page.extract_text() for page in PdfReader(target).pages[:1])
    assert text.replace("\n", "").isprintable()
    assert "[bold red]oak[/] [/gone]" in text


def test_csv_cells_are_no_formulas(told: Callable[..., str]) -> None:
    for words in (["hours", "JOB", "--csv"], ["accounts", "--csv"],
                  ["accounts", "--year", "2026", "--csv"]):  # fmt: skip
        printed = told(*words)
        rows = list(csv.reader(io.StringIO(printed, newline="")))
        assert len(rows) == printed.count("\r\n")
        cells = [cell for row in rows for cell in row]
        assert any("[" in cell for cell in cells) or words[0] == "accounts"
        for cell in cells:
            assert cell.isprintable()
            assert not cell.lstrip().startswith(ACTS) or NUMBER.fullmatch(cell), cell


@pytest.mark.parametrize("text", [*TAKEN, *NOT_TAKEN, "\t=1", "\r\n=1", "\u00a0@x", "\uff20x"])
def test_no_text_becomes_a_formula(text: str) -> None:
    ((cell,),) = list(csv.reader(io.StringIO(csv_text(("head",), [(text,)]), newline="")))[1:]
    assert not cell.lstrip().startswith(ACTS)
    assert cell.isprintable()


def test_a_calendar_has_its_days_and_no_more(
    told: Callable[..., str], data: tuple[Path, str]
) -> None:
    import icalendar

    printed = told("planned", "JOB", "--ics")
    days = Desk(data[0]).open(data[1], writing=False).record.job.planned
    calendar = icalendar.Calendar.from_ical(printed)
    events = [part for part in calendar.walk() if part.name == "VEVENT"]
    assert len(events) == len(days)
    assert printed.replace("\r\n", "").isprintable()
    assert all(len(line.encode()) <= 75 for line in printed.split("\r\n"))  # RFC 5545, 3.1
    for event in events:
        assert str(event["summary"]).startswith(TAKEN[0])


def test_a_pdf_shows_it_as_text(told: Callable[..., str], tmp_path: Path) -> None:
    target = tmp_path / "1.pdf"
    told("invoice", "JOB", "--number", "1", "--pdf", str(target))
    reader = PdfReader(target)
    text = "".join(page.extract_text() for page in reader.pages)
    assert text.replace("\n", "").isprintable()
    assert "=HYPERLINK(1)" in text
    assert "[bold red]oak[/] [/gone]" in text
    assert not any("/AA" in page or "/Annots" in page for page in reader.pages)
    assert not {"/AA", "/JavaScript", "/Names"} & set(reader.trailer["/Root"])


def test_out_and_in_again_is_exact(told: Callable[..., str], tmp_path: Path) -> None:
    printed = told("export", "JOB")
    assert printed.isascii()
    (tmp_path / "out.json").write_text(printed)
    other = tmp_path / "other"
    assert main(["import", str(tmp_path / "out.json"), "--data", str(other)]) == 0
    desk = Desk(other)
    assert json.dumps(desk.give_out(desk.ids()[0])) == json.dumps(json.loads(printed))

"""One notion of today, through every command that takes a day from the time."""

import json
from collections.abc import Callable
from datetime import date, datetime, timedelta, timezone
from io import BytesIO
from pathlib import Path

import pytest
from pypdf import PdfReader

from crewdesk.cli import main
from crewdesk.job.beams import beams
from crewdesk.job.steps import ticks
from crewdesk.job.steps.run_sheet import RunSheet
from crewdesk.store.desk import Desk
from crewdesk.trade.books.dates import day_text
from tests.conftest import IMPORT_SAMPLE

SAMPLES = Path(__file__).parent.parent / "sample_data"
JOB = "tamarack-bend"
MACHINE = datetime.fromisoformat("2026-03-19T23:30:00-11:00")
"""The machine is in Pago Pago; in Denver, where the sample job is, it is 4:30 on the 20th, and in
Kiritimati 0:30 on the 21st (offsets of the IANA time zone database)."""
BUSINESS = [
    ("", "2026-03-19"),
    ("America/Denver", "2026-03-20"),
    ("Pacific/Kiritimati", "2026-03-21"),
]

Run = Callable[..., str]


@pytest.fixture
def data(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, door_clock, copy_data) -> Path:
    """A data folder with the sample job and stock, on the machine of `MACHINE`."""
    door_clock.at = MACHINE
    monkeypatch.setenv("CREWDESK_DATA", str(tmp_path / "data"))
    monkeypatch.chdir(tmp_path)
    take_stock = ("stock", "--take", str(SAMPLES / "stock.json"))
    return copy_data(tmp_path / "data", IMPORT_SAMPLE, take_stock)


@pytest.fixture
def run(data: Path, capsys: pytest.CaptureFixture[str]) -> Run:
    """Runs a command; gives what it prints, or the sentence in which it refuses."""
    capsys.readouterr()

    def go(*words: str) -> str:
        status = main(words)
        out, err = capsys.readouterr()
        assert (status, bool(err)) in ((0, False), (2, True)), err
        return err or out

    return go


def _days(desk: Desk) -> dict[str, date]:
    """Every day that the books keep."""
    books, record = desk.shop.record(), desk.open(JOB, writing=False).record
    found = {f"document {one.number}": one.issued_on for one in books.trail}
    found |= {f"payment {n}": one.on for n, one in enumerate(books.payments, 1)}
    assert record.accepted is not None
    found["estimate"] = record.accepted.on
    found |= {f"order {one.row}": one.accepted_on for one in record.orders if one.taken}
    return found


@pytest.mark.parametrize(("zone", "day"), BUSINESS)
def test_every_day_is_the_business_s(run: Run, data: Path, zone: str, day: str) -> None:
    if zone:
        run("shop", f"zone={zone}")
    assert json.loads(run("shop", "--json"))["zone"] == zone
    run("shop", "hour=80", "terms=0")
    # As a customer reads it: 2026-03-19 is Mar 19, 2026.
    written = f"Date: Mar {int(day[-2:])}, 2026"
    assert written in " ".join(run("estimate", "tamarack").split())
    assert "likely" in run("estimate", "tamarack", "--accept", "--by", "M. Quillfeather").lower()
    run("orders", "tamarack", "--accept", "2", "--by", "M. Quillfeather")
    assert written in " ".join(run("invoice", "tamarack").split())
    assert json.loads(run("invoice", "tamarack", "--issue", "--json"))["date"] == day
    assert "Saved: payment" in run("pay", "1", "50")
    assert "Saved: payment" in run("pay", "1", "5", "--on", day)
    assert "Saved: credited" in run("credit", "1", "--reason", "agreed", "--line", "1=40")
    kept = _days(Desk(data))
    kept.pop("order 1")  # accepted in the sample's own story
    assert kept == dict.fromkeys(kept, date.fromisoformat(day))
    assert {"document 1", "document 2", "payment 2", "estimate", "order 2"} <= set(kept)

    # What is still to come, and what is overdue, goes by the same day.
    tomorrow = str(date.fromisoformat(day) + timedelta(1))
    for words in (
        ("pay", "1", "5", "--on", tomorrow),
        ("estimate", "tamarack", "--accept", "--on", tomorrow),
        ("accounts", "--on", tomorrow),
    ):
        assert f"{tomorrow} is in the future" in run(*words)
    accounts = json.loads(run("accounts", "--json"))
    assert accounts["on"] == day
    assert json.loads(run("invoice", "tamarack", "--number", "1", "--json"))["overdue_days"] == 0

    run("planned", "tamarack", "today", "sweep up")
    assert {"day": day, "note": "sweep up"} in json.loads(run("planned", "tamarack", "--json"))[
        "planned"
    ]


@pytest.mark.parametrize(("zone", "day"), BUSINESS)
def test_the_business_s_midnight_makes_an_invoice_overdue(
    run: Run, zone: str, day: str, door_clock
) -> None:
    run("shop", f"zone={zone}", "hour=80", "terms=0")
    run("invoice", "tamarack", "--issue")
    to_midnight = {"": 30, "America/Denver": 19 * 60 + 30, "Pacific/Kiritimati": 23 * 60 + 30}[zone]
    for minutes, overdue in ((to_midnight - 1, 0), (to_midnight, 1)):
        door_clock.at = MACHINE + timedelta(minutes=minutes)
        told = json.loads(run("invoice", "tamarack", "--number", "1", "--json"))
        assert told["overdue_days"] == overdue


@pytest.mark.parametrize("way", ["another zone", "no zone, and the computer goes west"])
def test_what_was_issued_counts_though_the_day_goes_back(
    run: Run, data: Path, way: str, door_clock
) -> None:
    """Issued in Kiritimati on the 21st; in Denver it is the 20th at that moment."""
    if way == "another zone":
        run("shop", "zone=Pacific/Kiritimati")
    else:
        door_clock.at = MACHINE.astimezone(timezone(timedelta(hours=14)))
    run("shop", "hour=80", "terms=0")
    invoice = json.loads(run("invoice", "tamarack", "--issue", "--json"))
    assert invoice["date"] == "2026-03-21"
    run("pay", "1", "50")
    if way == "another zone":
        run("shop", "zone=America/Denver")
    else:
        door_clock.at = MACHINE.astimezone(timezone(timedelta(hours=-6)))
    accounts = json.loads(run("accounts", "--json"))
    assert accounts["on"] == "2026-03-21"
    assert "Quillfeather Homes" in run("accounts")
    assert run("pay", "1", "20").startswith("Saved: payment of $20.00 on invoice 1 (Quill")
    assert run("credit", "1", "--reason", "agreed", "--line", "1=40").startswith("Saved: credited")
    run("invoice", "tamarack", "--issue", "--kind", "deposit")
    days = _days(Desk(data))
    assert {days[f"document {n}"].day for n in (1, 2)} == {21}
    assert {days[f"payment {n}"].day for n in (1, 2)} == {21}
    shown = json.loads(run("invoice", "tamarack", "--number", "1", "--json"))
    assert (shown["paid"], shown["credited"]) == ("70.00", "40.00")
    # What is not of the books goes by the day itself, and the books too once it has come.
    run("planned", "tamarack", "today", "sweep up")
    planned = json.loads(run("planned", "tamarack", "--json"))["planned"]
    assert {"day": "2026-03-20", "note": "sweep up"} in planned
    assert "2026-03-22 is in the future" in run("pay", "1", "5", "--on", "2026-03-22")
    door_clock.at += timedelta(days=3)
    assert json.loads(run("accounts", "--json"))["on"] == "2026-03-23"


@pytest.mark.parametrize(("zone", "day"), BUSINESS)
def test_a_sheet_s_day_is_the_business_s(run: Run, data: Path, zone: str, day: str) -> None:
    run("shop", f"zone={zone}")
    job = Desk(data).open(JOB)
    batch = RunSheet(job.record).batches()[0]
    job.make(ticks.tick(job.record, batch.spots[0], batch.step.id, MACHINE))
    job.close(MACHINE)
    for words, done in (((), True), (("--day", "yesterday"), False)):
        to = f"{done}.pdf"
        run("sheet", "tamarack", "progress", *words, "--to", to)
        (page, *_) = PdfReader(BytesIO(Path(to).read_bytes())).pages
        text = page.extract_text()
        told = date.fromisoformat(day) - timedelta(not done)
        assert f"Done on {told:%A}, {day_text(told)}" in text
        assert f"  {day_text(date.fromisoformat(day))}" in text
        assert ("nothing was checked off" in text) is not done


@pytest.mark.parametrize(("zone", "day"), BUSINESS)
def test_a_plan_is_closed_on_the_business_s_day(run: Run, data: Path, zone: str, day: str) -> None:
    run("shop", f"zone={zone}")
    run("takeoff", "tamarack", "--bought", "all")
    run("takeoff", "tamarack", "--leftovers")
    plan = Desk(data).open(JOB, writing=False).record.tables["job"]["1"]["plan"]
    assert plan["closed"] == day


def test_a_job_s_zone_reads_its_entries(run: Run, data: Path) -> None:
    """The sample job is in Denver: 4:30 on the 20th there, whatever the business's zone is."""
    for zone, _ in BUSINESS:
        run("shop", f"zone={zone}")
        assert "01:00-02:30" in run("hours", "tamarack", "--add", "1:00am-2:30am", "--stage", "rip")
        entry = json.loads(run("hours", "tamarack", "--json"))["entries"][-1]
        assert entry["start"] == "2026-03-20T01:00:00-06:00"
        assert run("hours", "tamarack", "--from", "today").count("01:00-02:30") == 1
        run("undo", "tamarack")


@pytest.mark.parametrize(
    ("zone", "start"),
    [
        ("", "2026-03-19T08:00:00-11:00"),
        ("America/Denver", "2026-03-19T08:00:00-06:00"),
        # In winter Denver is 7 hours behind UTC, though it is 6 on the day this is typed.
        ("winter", "2026-01-19T08:00:00-07:00"),
    ],
)
def test_without_a_zone_a_job_s_entries_are_typed_on_the_business_s_clocks(
    run: Run, data: Path, zone: str, start: str
) -> None:
    job = Desk(data).open(JOB)
    job.make(beams.change_job(job.record, {"zone": ""}, MACHINE))
    job.close(MACHINE)
    run("shop", f"zone={'America/Denver' if zone == 'winter' else zone}")
    run("hours", "tamarack", "--add", f"{start[:10]} 8:00-9:00", "--stage", "rip")
    starts = [one["start"] for one in json.loads(run("hours", "tamarack", "--json"))["entries"]]
    assert start in starts


def test_a_zone_that_is_not_known_is_refused(run: Run) -> None:
    for text in ("Denver", "../../etc/passwd", "/etc/localtime", "posix/America/Denver"):
        said = run("shop", f"zone={text}")
        assert f"{text} isn't a known time zone. Type " in said
    assert "Type America/Denver, or leave it empty." in run("shop", "zone=Denver")
    run("shop", "zone=america/denver")
    assert "zone                  America/Denver" in run("shop")
    run("shop", "zone=")
    assert json.loads(run("shop", "--json"))["zone"] == ""

"""crewdesk's commands on Windows: what they write, print and read, byte by byte."""

import csv
import io
import json
from collections.abc import Callable
from pathlib import Path

from tests.windows.conftest import ROOT, SAMPLE, Windows

Run = Callable[..., bytes]


def taken_in(windows: Windows, crewdesk: Run) -> None:
    """Take the sample job in."""
    assert crewdesk("import", windows.path(SAMPLE)) == b"Imported Tamarack Bend as tamarack-bend.\n"


def test_a_job_comes_in_and_goes_out_byte_for_byte(
    windows: Windows, crewdesk: Run, data: Path, tmp_path: Path
) -> None:
    from crewdesk.cli import main

    taken_in(windows, crewdesk)
    assert b"all sound" in crewdesk("check")
    crewdesk("export", "tamarack", "--to", windows.path(tmp_path / "there.json"))
    assert main(["--data", str(tmp_path / "here"), "import", str(SAMPLE)]) == 0
    to = tmp_path / "here.json"
    assert main(["--data", str(tmp_path / "here"), "export", "tamarack", "--to", str(to)]) == 0
    assert (tmp_path / "there.json").read_bytes() == to.read_bytes()
    assert [one.name for one in tmp_path.glob("*.part")] == []
    printed = crewdesk("export", "tamarack", alone=True)
    assert printed == to.read_bytes()
    # No file of ours has Windows' ends of lines.
    assert [one for one in data.rglob("*") if one.is_file() and b"\r" in one.read_bytes()] == []
    # The same folder opens here.
    assert main(["--data", str(data), "check"]) == 0


def test_every_command_that_prints_says_the_same_as_here(
    windows: Windows, crewdesk: Run, data: Path, capsysbinary
) -> None:
    from crewdesk.cli import main

    taken_in(windows, crewdesk)
    for words in (
        ["cutlist", "tamarack"],
        ["cutlist", "tamarack", "--json"],
        ["dryfit", "tamarack"],
        ["scribecut", "tamarack"],
        ["takeoff", "tamarack"],
        ["progress", "tamarack"],
        ["hours", "tamarack"],
        ["stock"],
        ["customers"],
    ):
        capsysbinary.readouterr()
        assert main(["--data", str(data), *words]) == 0
        assert crewdesk(*words) == capsysbinary.readouterr().out, words


def test_csv_ends_each_line_once(windows: Windows, crewdesk: Run) -> None:
    # RFC 4180 ends lines with CRLF; printed as text on Windows that became \r\r\n.
    taken_in(windows, crewdesk)
    for words in (["accounts", "--csv"], ["hours", "tamarack", "--csv"]):
        printed = crewdesk(*words, alone=True)
        assert b"\r\r" not in printed
        lines = printed.split(b"\r\n")
        assert lines.pop() == b""
        assert not any(b"\n" in one or b"\r" in one for one in lines)
        rows = list(csv.reader(io.StringIO(printed.decode("utf-8"), newline="")))
        assert len(rows) == len(lines) > 1


def test_what_is_typed_and_printed_is_utf_8(crewdesk: Run, data: Path, windows: Windows) -> None:
    taken_in(windows, crewdesk)
    cafe = "Café Zoë: 2 beams 16' 7-1/4x6\n"
    assert "2 in Café Zoë".encode() in crewdesk(
        "beams", "tamarack", given=cafe.encode(), alone=True
    )
    # PowerShell's pipes may begin with a byte order mark.
    marked = cafe.replace("Zoë", "Noël").encode("utf-8-sig")
    assert "2 in Café Noël".encode() in crewdesk("beams", "tamarack", given=marked)
    document = json.loads(crewdesk("export", "tamarack"))
    rooms = {row["room"] for row in document["beams"].values()}
    assert {"Café Zoë", "Café Noël"} <= rooms
    assert "Café Noël 2".encode() in crewdesk("cutlist", "tamarack", alone=True)
    crewdesk("shop", "name=Crème & Fils", alone=True)
    assert "name                  Crème & Fils\n".encode() in crewdesk("shop")
    # What is wrong is said in UTF-8 as well.
    assert "Straße".encode() in crewdesk("progress", "Straße", status=2, alone=True)


def test_a_list_in_a_code_page_is_refused(crewdesk: Run, windows: Windows) -> None:
    taken_in(windows, crewdesk)
    printed = crewdesk("beams", "tamarack", given="Café: 2 beams 16' 7-1/4x6".encode("cp1252"),
                       status=2, alone=True)  # fmt: skip
    assert b"isn't text in UTF-8" in printed
    assert b"Traceback" not in printed


def test_devices_and_names_that_windows_cuts_short(
    windows: Windows, crewdesk: Run, data: Path, tmp_path: Path
) -> None:
    for number, name in enumerate(("CON", "NUL", "com1", "Hill. ", "Aux")):
        document = json.loads(SAMPLE.read_text("utf-8"))
        document["job"]["name"] = name
        del document["history"]  # it led to the other name
        path = tmp_path / f"{number}.json"
        path.write_text(json.dumps(document), "utf-8")
        crewdesk("import", windows.path(path))
    folders = sorted(one.name for one in (data / "jobs").iterdir())
    assert folders == ["hill", "job-aux", "job-com1", "job-con", "job-nul"]
    assert b"all sound" in crewdesk("check")
    assert b"CON" in crewdesk("progress", "CON")
    for to in ("con", "NUL.json", "a.json ", "a.", "a?.json"):
        printed = crewdesk("export", "hill", "--to", to, status=2)
        assert b"Choose another name." in printed, to
    assert not list(windows.folder.glob("a*.json*"))


def test_times_before_1970_and_after_3000(windows: Windows) -> None:
    # The C library of Windows knows none of them.
    printed = windows.run(
        "-c",
        """
from datetime import UTC, datetime, timedelta
from crewdesk.store.machine_clock import MACHINE_ZONE
for year in (1, 1890, 1904, 1969, 1970, 2026, 2999, 3001, 4004, 9998):
    for month in (2, 7):
        moment = datetime(year, month, 28, 12, 30, tzinfo=UTC)
        here = moment.astimezone(MACHINE_ZONE)
        assert here.astimezone(UTC) == moment, moment
        assert abs(here.utcoffset()) <= timedelta(hours=15)
        assert here.utcoffset() == datetime(2020, month, 28, 12, 30, tzinfo=UTC).astimezone(
            MACHINE_ZONE).utcoffset() or 1970 <= year <= 3000
print("all")
""",
    )
    assert printed.strip() == b"all"


def test_the_data_and_config_folders_are_where_readme_says(windows: Windows) -> None:
    printed = windows.run(
        "-c",
        "import os\n"
        "from pathlib import Path\n"
        "from platformdirs import user_config_path, user_data_path\n"
        "for path in (user_data_path, user_config_path):\n"
        "    place = Path(os.environ['LOCALAPPDATA'], 'crewdesk')\n"
        "    print(path('crewdesk', appauthor=False) == place)",
    )
    assert printed.split() == [b"True", b"True"]
    assert r"`%LOCALAPPDATA%\crewdesk` on Windows" in (ROOT / "README.md").read_text("utf-8")


def test_a_reader_that_stops_is_told_in_a_sentence(windows: Windows) -> None:
    words = ["-m", "crewdesk", "keys"]
    printed = windows.run(
        "-c",
        f"""
import subprocess, sys
one = subprocess.Popen([sys.executable, *{words!r}], stdout=subprocess.PIPE,
    stderr=subprocess.PIPE, bufsize=0)
one.stdout.close()
print(one.stderr.read().decode(), one.wait())
""",
    )
    assert b"The program reading this stopped before the end." in printed
    assert b"Traceback" not in printed


def test_sheets_are_made(windows: Windows, crewdesk: Run, tmp_path: Path) -> None:
    taken_in(windows, crewdesk)
    crewdesk("sheet", "tamarack", "cuts", "--to", windows.path(tmp_path / "a.pdf"))
    assert (tmp_path / "a.pdf").read_bytes().startswith(b"%PDF-")

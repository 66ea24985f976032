"""Jobs in and out as files, and the ways in which files, pipes and disks go wrong."""

import errno
import json
import os
import subprocess
import sys
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import pytest

from crewdesk.cli import main
from crewdesk.errors import NotAllowed
from crewdesk.job.beams import beams
from crewdesk.paper.job_document import free_name, write_new
from crewdesk.store.desk import Desk

SAMPLE = Path(__file__).parent.parent / "sample_data" / "tamarack-bend.json"
NOW = datetime.fromisoformat("2026-03-06T08:00:00-07:00")
DOOR = [sys.executable, "-m", "crewdesk"]


@pytest.fixture
def data(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, copy_data) -> Path:
    """A data folder with the sample job in it."""
    folder = tmp_path / "data"
    monkeypatch.setenv("CREWDESK_DATA", str(folder))
    monkeypatch.setenv("PYTHONPATH", str(SAMPLE.parent.parent))
    return copy_data(folder)


@pytest.fixture
def wrong(capsys: pytest.CaptureFixture[str]) -> Callable[..., str]:
    """The one sentence of a command that is refused."""

    def run(*words: str) -> str:
        assert main(words) == 2
        out, err = capsys.readouterr()
        assert out == ""
        assert err.startswith("crewdesk: ")
        assert err[:-1].isprintable()
        return err

    return run


def test_out_and_in_again_is_exact(
    data: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["export", "tamarack"]) == 0
    printed = capsys.readouterr().out
    assert printed == SAMPLE.read_text()
    assert main(["export", "tamarack", "--to", str(tmp_path / "out.json")]) == 0
    assert (tmp_path / "out.json").read_text() == printed
    elsewhere = ("--data", str(tmp_path / "elsewhere"))
    assert main(["import", str(tmp_path / "out.json"), *elsewhere]) == 0
    capsys.readouterr()
    assert main(["export", "tamarack-bend", *elsewhere]) == 0
    assert capsys.readouterr().out == printed
    assert sorted(path.name for path in tmp_path.iterdir()) == ["data", "elsewhere", "out.json"]


def test_a_file_that_is_there_is_not_written_over(
    data: Path, tmp_path: Path, wrong: Callable[..., str]
) -> None:
    (tmp_path / "mine.json").write_text("mine")
    assert "exists already" in wrong("export", "tamarack", "--to", str(tmp_path / "mine.json"))
    assert (tmp_path / "mine.json").read_text() == "mine"
    assert "exists already" in wrong("export", "tamarack", "--to", str(tmp_path))


BAD = {
    "empty": (b"", "isn't JSON"),
    "cut short": (SAMPLE.read_bytes()[:5000], "isn't JSON"),
    "latin-1": ('{"crewdesk": "caf\u00e9"}'.encode("latin-1"), "isn't text in UTF-8"),
    "utf-16": (SAMPLE.read_text().encode("utf-16"), "isn't text in UTF-8"),
    "deep": (b"[" * 200_000, "nested too deeply"),
    "deep but whole": (
        b'{"crewdesk": "job", "schema": 1, "job": ' + b"[" * 500 + b"]" * 500 + b"}",
        "deep",
    ),
    "no number": (b'{"crewdesk": "job", "x": NaN}', "can't be kept"),
    "endless number": (b'{"crewdesk": "job", "x": 1e999}', "can't be kept"),
    "long number": (b'{"crewdesk": "job", "x": ' + b"9" * 5000 + b"}", "can't be kept"),
    "another thing": (b'{"name": "a list"}', "isn't a crewdesk job"),
    "another schema": (b'{"crewdesk": "job", "schema": 99}', "schema 99"),
    "no name": (b'{"crewdesk": "job", "schema": 1, "job": {}}', "job"),
}


@pytest.mark.parametrize("name", BAD)
def test_a_file_that_is_no_job_is_told_and_nothing_is_made(
    data: Path, tmp_path: Path, wrong: Callable[..., str], name: str
) -> None:
    content, said = BAD[name]
    (tmp_path / "bad.json").write_bytes(content)
    assert said in wrong("import", str(tmp_path / "bad.json"))
    assert Desk(data).ids() == ["tamarack-bend"]


def test_a_huge_file_is_not_read_whole(
    data: Path, tmp_path: Path, wrong: Callable[..., str]
) -> None:
    with (tmp_path / "huge.json").open("wb") as file:
        file.truncate(10**12)
    assert "too large" in wrong("import", str(tmp_path / "huge.json"))
    if os.name != "nt":  # it has no /dev
        assert "too large" in wrong("import", "/dev/zero")


def test_a_folder_is_no_file(data: Path, tmp_path: Path, wrong: Callable[..., str]) -> None:
    assert "can't be read" in wrong("import", str(tmp_path))


def test_a_reader_that_stops_early(data: Path) -> None:
    with subprocess.Popen(
        [*DOOR, "export", "tamarack"], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    ) as door:
        assert door.stdout is not None
        assert door.stderr is not None
        door.stdout.close()
        err = door.stderr.read()
        assert door.wait() == 2
    assert err == "crewdesk: The program reading this stopped before the end.\n"


@pytest.mark.unix("Windows has no /dev/full")
def test_a_full_disk_behind_the_screen(data: Path) -> None:
    with Path("/dev/full").open("w") as full:
        done = subprocess.run(
            [*DOOR, "export", "tamarack"],
            stdout=full,
            stderr=subprocess.PIPE,
            text=True,
            check=False,
        )
    assert done.returncode == 2
    assert done.stderr == f"crewdesk: The system stopped this: {os.strerror(28)}.\n"


@pytest.mark.unix("Windows can't limit the size of a program's files")
def test_a_full_disk_behind_a_file(data: Path, tmp_path: Path) -> None:
    import resource

    target = tmp_path / "out.json"
    done = subprocess.run(
        [*DOOR, "export", "tamarack", "--to", str(target)],
        capture_output=True,
        text=True,
        check=False,
        preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (4096, 4096)),
    )
    assert (done.returncode, done.stdout) == (2, "")
    assert "can't be written" in done.stderr
    assert done.stderr.count("\n") == 1
    assert [path.name for path in tmp_path.iterdir()] == ["data"]


def test_a_screen_that_lacks_a_sign_shows_another(data: Path) -> None:
    done = subprocess.run(
        [*DOOR, "cutlist", "tamarack"],
        capture_output=True,
        check=False,
        env={**os.environ, "PYTHONIOENCODING": "ascii"},
    )
    assert (done.returncode, done.stderr) == (0, b"")
    assert b"(0.45?)" in done.stdout


def test_unseen_marks_are_seen_in_print(data: Path, capsys: pytest.CaptureFixture[str]) -> None:
    job = Desk(data).open("tamarack-bend")
    job.make(beams.add_beam(job.record, "\u200f9\u200b", "Att\u00adic", NOW))
    job.close(NOW)
    for sheet in ("cutlist", "progress"):
        assert main([sheet, "tamarack"]) == 0
        out = capsys.readouterr().out
        assert out.replace("\n", "").isprintable()
        assert "Att?ic ?9?" in out


def test_restore_says_which_copy_and_from_when(
    data: Path, wrong: Callable[..., str], capsys: pytest.CaptureFixture[str]
) -> None:
    job = Desk(data).open("tamarack-bend")
    job.make(beams.add_beam(job.record, "9", "Attic", NOW))
    job.close(NOW)
    changes = len(json.loads(SAMPLE.read_text())["history"]) + 1
    path = data / "jobs" / "tamarack-bend" / "here.json"
    broken = path.read_bytes().replace(b"hearth", b"hearse")
    path.write_bytes(broken)
    assert "tamarack-bend/here.json can't be read" in wrong("progress", "tamarack")
    assert path.read_bytes() == broken
    assert main(["restore", "tamarack"]) == 0
    out = capsys.readouterr().out
    assert f"after {changes} changes" in out
    assert "(here.json.1), nothing is lost" in out
    assert "as of 2026-03-06 09:00 " in out  # 08:00 at -07:00, on the commands' clock at -06:00
    assert main(["cutlist", "tamarack", "--beam", "Attic 9"]) == 0
    assert broken in [one.read_bytes() for one in path.parent.iterdir()]


def test_a_free_name_is_one_that_every_system_takes(tmp_path: Path) -> None:
    for stem, name in (
        ("a/b: c", "a-b-c.pdf"),
        ("..", "sheet.pdf"),
        ("x" * 300, "x" * 100 + ".pdf"),
    ):
        first = free_name(tmp_path, stem, ".pdf")
        assert first == tmp_path / name
        first.touch()
        assert free_name(tmp_path, stem, ".pdf") == tmp_path / name.replace(".pdf", "-2.pdf")


NO_LINKS = (errno.EPERM, errno.EOPNOTSUPP, errno.ENOSYS)
"""link(2): "EPERM The filesystem containing oldpath and newpath does not support the creation of
hard links", as FAT and exFAT; others report that the call itself is not there."""


@pytest.mark.parametrize("code", NO_LINKS)
def test_a_stick_without_hard_links_takes_files(
    data: Path,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    code: int,
) -> None:
    def no_links(*_: object) -> None:
        raise OSError(code, os.strerror(code))

    monkeypatch.setattr(os, "link", no_links)
    stick = tmp_path / "stick"
    stick.mkdir()
    assert main(["export", "tamarack", "--to", str(stick / "out.json")]) == 0
    assert main(["sheet", "tamarack", "cautions", "--to", str(stick / "out.pdf")]) == 0
    assert (stick / "out.json").read_text() == SAMPLE.read_text()
    assert (stick / "out.pdf").read_bytes().startswith(b"%PDF")
    assert sorted(one.name for one in stick.iterdir()) == ["out.json", "out.pdf"]
    capsys.readouterr()
    # One that came there meanwhile is not written over, and half a file is not left.
    (stick / "mine.json").write_text("mine")
    monkeypatch.setattr("crewdesk.paper.job_document.check_new", lambda _: None)
    monkeypatch.setattr(Path, "exists", lambda _: False)
    with pytest.raises(NotAllowed, match="File exists"):
        write_new(stick / "mine.json", b"other")
    assert (stick / "mine.json").read_text() == "mine"
    monkeypatch.setattr(Path, "replace", no_links)
    with pytest.raises(NotAllowed, match="can't be written"):
        write_new(stick / "new.json", b"other")
    assert sorted(one.name for one in stick.iterdir()) == ["mine.json", "out.json", "out.pdf"]


@pytest.mark.parametrize("name", ["", " ", ".", "/", "..", "./"])
def test_a_name_that_is_none_is_told(
    data: Path, capsys: pytest.CaptureFixture[str], name: str
) -> None:
    for words in (
        ("export", "tamarack", "--to", name),
        ("sheet", "tamarack", "--to", name),
        ("invoice", "tamarack", "--pdf", name),
        ("--data", name and "/dev/null/x", "check"),
    ):
        try:
            status = main(words)
        except SystemExit as left:
            status = left.code
        out, err = capsys.readouterr()
        assert (status, out) == (2, "")
        assert err.count("\n") == 1
        assert err.startswith("crewdesk: ")


READING = (
    "progress x",
    "export x",
    "cutlist x",
    "dryfit x",
    "estimate x",
    "hours x",
    "took x",
    "accounts",
    "shop",
    "stock",
    "takeoff x",
    "customers",
    "orders x",
    "check",
    "restore",
    "restore x",
    "settle",
    "undo",
    "held x",
    "keys",
    "pay 1 5",
)


@pytest.mark.parametrize("words", READING)
def test_a_data_folder_that_is_not_there_is_told_and_not_made(
    tmp_path: Path, wrong: Callable[..., str], words: str
) -> None:
    said = wrong("--data", str(tmp_path / "stick" / "data"), *words.split())
    assert f"There is no data folder {tmp_path / 'stick' / 'data'}." in said
    assert list(tmp_path.iterdir()) == []
    if words in ("restore", "undo", "pay 1 5"):  # they lock the shop before they look
        return
    # One that is there is looked at and stays as it is.
    (tmp_path / "empty").mkdir()
    main(["--data", str(tmp_path / "empty"), *words.split()])
    assert list((tmp_path / "empty").iterdir()) == []


def test_what_begins_a_data_folder(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    for number, words in enumerate(("shop hour=85", "customers Ada phone=555", f"import {SAMPLE}")):
        assert main(["--data", str(tmp_path / str(number)), *words.split()]) == 0
    assert (tmp_path / "2" / "jobs" / "tamarack-bend" / "here.json").exists()


def test_files_of_macos_are_not_ours(
    data: Path, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    """macOS puts a file beginning with ._ beside each file on a FAT disk (AppleDouble,
    RFC 1740, appendix B)."""
    for name in ("._tamarack-bend.json", "._tamarack-bend.history", "._other.json", "._x.json.1"):
        (data / "jobs" / name).write_bytes(b"\x00\x05\x16\x07")
    assert Desk(data).ids() == ["tamarack-bend"]
    assert main(["check"]) == 0
    assert main(["progress", "tamarack"]) == 0
    themes = tmp_path / "themes"
    themes.mkdir()
    (themes / "._night.toml").write_bytes(b"\x00\x05\x16\x07")
    from crewdesk.screens.parts.themes import load_themes

    assert load_themes(themes).complaints == ()

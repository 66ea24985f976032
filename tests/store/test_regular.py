"""Only regular files are opened, and none by a link out of its folder; nothing waits."""

import os
import signal
import socket
from collections.abc import Callable
from pathlib import Path

import pytest

from crewdesk.cli import main
from crewdesk.store import disk
from crewdesk.store.desk import Desk
from crewdesk.store.disk import AFRESH, NEW, NotRegular, open_handle, read_bytes
from tests.conftest import IMPORT_SAMPLE, SAMPLE
from tests.sampled import sampled

LONGEST = 10
"""Seconds that a command may take here before it counts as hanging."""


@pytest.fixture
def data(tmp_path: Path, copy_data) -> Path:
    """A data folder with the sample job and a shop."""
    return copy_data(tmp_path / "data", IMPORT_SAMPLE, ("shop", "hour=85"))


@pytest.fixture
def run(data: Path, capsys: pytest.CaptureFixture[str]) -> Callable[..., tuple[int, str, str]]:
    """Runs one command; gives its status and what it prints. One that hangs fails."""

    def hangs(*_: object) -> None:
        raise AssertionError("the command hangs")

    def do(*words: str) -> tuple[int, str, str]:
        usual = signal.signal(signal.SIGALRM, hangs)
        signal.alarm(LONGEST)
        try:
            status = main(["--data", str(data), *words])
        finally:
            signal.alarm(0)
            signal.signal(signal.SIGALRM, usual)
        return status, *capsys.readouterr()

    return do


def in_place_of(path: Path) -> None:
    """Put a pipe where a file was, or would be."""
    path.unlink(missing_ok=True)
    os.mkfifo(path)


COMMANDS = (
    ("progress", "tamarack"),
    ("export", "tamarack"),
    ("check",),
    ("accounts",),
    ("shop", "hour=90"),
    ("hours", "tamarack", "--add", "7-8", "--stage", "1"),
    ("restore", "tamarack"),
    ("undo", "tamarack"),
    ("keys",),
)


@pytest.mark.unix("Windows has no pipes or sockets among its files")
@pytest.mark.parametrize(
    "name",
    sampled(
        [
            "jobs/tamarack-bend/here.json",
            "jobs/tamarack-bend/here.history",
            "jobs/tamarack-bend/here.lock",
            "jobs/tamarack-bend/here.json.1",
            "jobs/tamarack-bend/here.json.new",
            "jobs/other.json",
            "jobs/other.history",
            "shop.json",
            "shop/here.json",
            "shop/here.history",
            "shop/here.lock",
            "keys.toml",
        ],
        3,
    ),
)
def test_a_pipe_hangs_no_command(
    data: Path, run: Callable[..., tuple[int, str, str]], name: str
) -> None:
    in_place_of(data / name)
    for words in COMMANDS:
        status, _, said = run(*words)
        assert status in (0, 1, 2)
        lines = said.splitlines()
        if words[0] == "accounts" and name.startswith("jobs/tamarack"):
            lines = [one for one in lines if not one.startswith("The hours of one job aren't ")]
        assert len(lines) == (status == 2)


@pytest.mark.unix("Windows has no pipes or sockets among its files")
def test_what_a_command_says_of_a_pipe(
    data: Path, run: Callable[..., tuple[int, str, str]]
) -> None:
    in_place_of(data / "jobs" / "tamarack-bend" / "here.json")
    status, out, _ = run("check")
    assert status == 1
    assert "WRONG  jobs/tamarack-bend/here.json: it is a pipe, not a file" in out
    said = run("progress", "tamarack-bend")[2]
    assert "tamarack-bend/here.json can't be read: it is a pipe, not a file." in said


@pytest.mark.unix("Windows has no pipes or sockets among its files")
def test_import_of_a_pipe_and_a_link_that_the_user_names(
    data: Path, run: Callable[..., tuple[int, str, str]], tmp_path: Path
) -> None:
    os.mkfifo(tmp_path / "pipe.json")
    said = run("import", str(tmp_path / "pipe.json"))[2]
    assert "can't be read: it is a pipe, not a file." in said
    (tmp_path / "link.json").symlink_to(SAMPLE)
    assert run("import", str(tmp_path / "link.json"))[0] == 0
    (tmp_path / "whole.json").symlink_to(data / "jobs" / "tamarack-bend" / "here.json")
    assert run("import", str(tmp_path / "whole.json"))[0] == 0
    said = run("export", "tamarack-bend-2", "--to", str(tmp_path / "pipe.json"))[2]
    assert "can't be written: it is a pipe or a socket, not a file." in said


@pytest.mark.unix("Windows lets only some users make links")
def test_a_link_out_of_the_folder_is_not_followed(
    data: Path, run: Callable[..., tuple[int, str, str]], tmp_path: Path
) -> None:
    jobs, outside = data / "jobs" / "tamarack-bend", tmp_path / "outside"
    outside.write_bytes(b"mine\n")
    for name in ("here.history", "here.json.new", "here.json.1"):
        (jobs / name).unlink(missing_ok=True)
        (jobs / name).symlink_to(outside)
    assert run("hours", "tamarack", "--add", "7-8", "--stage", "1")[0] == 2
    assert run("undo", "tamarack")[0] == 2
    assert run("restore", "tamarack")[0] in (0, 2)
    assert outside.read_bytes() == b"mine\n"


@pytest.mark.unix("Windows lets only some users make links")
def test_a_link_in_the_folder_is_followed_and_one_to_itself_is_told(tmp_path: Path) -> None:
    (tmp_path / "a").write_bytes(b"a")
    (tmp_path / "b").symlink_to("a")
    assert read_bytes(tmp_path / "b") == b"a"
    (tmp_path / "round").symlink_to("round")
    with pytest.raises(OSError, match="link"):
        read_bytes(tmp_path / "round")


@pytest.mark.unix("Windows has no pipes or sockets among its files")
def test_nothing_but_files(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)  # a socket's name must be short
    with socket.socket(socket.AF_UNIX) as listening:
        listening.bind("socket")
        for path in (tmp_path, Path("socket"), Path("/dev/null")):
            with pytest.raises(OSError, match=r"it is|Is a directory"):
                read_bytes(path)
    with pytest.raises(NotRegular, match="a device, not a file"):
        open_handle(Path("/dev/null"), AFRESH)
    assert read_bytes(Path("/dev/null"), named=True) == b""


@pytest.mark.unix("Windows lets only some users make links")
def test_it_works_where_the_system_lacks_the_flags(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Windows has neither O_NOFOLLOW nor O_NONBLOCK; the links are looked at before."""
    monkeypatch.setattr(disk, "_NO_LINK", 0)
    monkeypatch.setattr(disk, "_SAFE", getattr(os, "O_BINARY", 0))
    os.close(open_handle(tmp_path / "new", NEW))
    (tmp_path / "deep").mkdir()
    (tmp_path / "deep" / "link").symlink_to(tmp_path / "new")
    with pytest.raises(NotRegular, match="link out of its folder"):
        read_bytes(tmp_path / "deep" / "link")


@pytest.mark.unix("Windows has no pipes or sockets among its files")
def test_a_pipe_as_a_theme_is_left_out(tmp_path: Path) -> None:
    from crewdesk.screens.parts.themes import load_themes

    os.mkfifo(tmp_path / "own.toml")
    [complaint] = load_themes(tmp_path).complaints
    assert complaint == "The theme file own.toml can't be read: it is a pipe, not a file."


@pytest.mark.unix("Windows has no pipes or sockets among its files")
def test_jobs_are_listed_beside_a_pipe(data: Path) -> None:
    (data / "jobs" / "other").mkdir()
    os.mkfifo(data / "jobs" / "other" / "here.json")
    listed = {one.id: one.trouble for one in Desk(data).jobs()}
    assert listed["tamarack-bend"] == ""
    assert "it is a pipe, not a file" in listed["other"]

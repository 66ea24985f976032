"""What differs from system to system on a disk; Windows and macOS are played where they must be.

Which names are devices is checked against Python's own `PureWindowsPath.is_reserved`.
"""

import os
from errno import EINVAL, EIO, ENOSPC
from pathlib import Path, PureWindowsPath
from types import SimpleNamespace

import pytest

from crewdesk.errors import NotAllowed
from crewdesk.job.beams import beams
from crewdesk.paper.job_document import check_new, free_name, write_new
from crewdesk.store import disk
from crewdesk.store.disk import (
    NEW,
    fit_name,
    is_device,
    open_handle,
    replace,
    sync,
    sync_folder,
    unlink,
    why_unfit,
    write_at,
)

FULL = 51
"""F_FULLFSYNC in macOS' <sys/fcntl.h>."""


class Mac:
    """What macOS is asked for: `full` syncs of a file, `plain` ones of a file or folder."""

    def __init__(self) -> None:
        self.full: list[int] = []
        self.plain: list[int] = []
        self.fails: list[int] = []


@pytest.fixture
def mac(monkeypatch: pytest.MonkeyPatch) -> Mac:
    """A system whose fsync does not reach the disk, and whose F_FULLFSYNC does."""
    asked, real = Mac(), os.fsync

    def fcntl(handle: int, what: int) -> int:
        assert what == FULL
        asked.full.append(handle)
        if asked.fails:
            code = asked.fails.pop(0)
            raise OSError(code, os.strerror(code))
        return 0

    def fsync(handle: int) -> None:
        asked.plain.append(handle)
        real(handle)

    monkeypatch.setattr(disk, "fcntl", SimpleNamespace(F_FULLFSYNC=FULL, fcntl=fcntl))
    monkeypatch.setattr(os, "fsync", fsync)
    return asked


def test_a_mac_empties_the_drive_once_a_save(mac: Mac, job, now) -> None:
    for site in ("Lot 8", "Lot 9", "Lot 10"):
        mac.full.clear()
        mac.plain.clear()
        job.make(beams.change_job(job.record, {"site": site}, now))
        assert len(mac.full) == 1
        assert mac.plain == []  # the same again, and slower


@pytest.mark.unix("Windows opens no folder to sync it")
def test_a_mac_empties_the_drive_last_of_all_where_a_history_begins(mac: Mac, desk, now) -> None:
    order: list[str] = []
    mac.full = SimpleNamespace(append=lambda _: order.append("full"))
    mac.plain = SimpleNamespace(append=lambda _: order.append("folder"))
    desk.shop.change(now, hour="85")
    # The folder's new name is in the drive before the drive is emptied, then once for the whole
    # file that is written on closing.
    assert order[:2] == ["folder", "full"]
    assert order.count("full") == 2


def test_a_network_folder_without_full_syncs_gets_a_plain_one(mac: Mac, tmp_path: Path) -> None:
    mac.fails = [EINVAL]
    with (tmp_path / "a").open("wb") as file:
        sync(file.fileno())
    assert (len(mac.full), len(mac.plain)) == (1, 1)


@pytest.mark.parametrize("code", [EIO, ENOSPC])
def test_a_full_sync_that_fails_is_not_covered_up(mac: Mac, tmp_path: Path, code: int) -> None:
    # A second fsync after EIO succeeds on some systems though the data is gone:
    # https://wiki.postgresql.org/wiki/Fsync_Errors
    mac.fails = [code]
    with (tmp_path / "a").open("wb") as file, pytest.raises(OSError, match=os.strerror(code)):
        sync(file.fileno())
    assert mac.plain == []


def test_elsewhere_it_is_one_fsync(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    called: list[int] = []
    monkeypatch.setattr(os, "fsync", called.append)
    with (tmp_path / "a").open("wb") as file:
        sync(file.fileno())
        assert called == [file.fileno()]


def test_bytes_go_where_they_belong_as_they_are(tmp_path: Path) -> None:
    path = tmp_path / "a"
    path.write_bytes(b"one\ntwo\nold")
    handle = open_handle(path, os.O_RDWR)
    try:
        write_at(handle, b"new\n\r\nx", 8)
    finally:
        os.close(handle)
    assert path.read_bytes() == b"one\ntwo\nnew\n\r\nx"


def test_short_writes_are_gone_on_with(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    real = os.write
    monkeypatch.setattr(os, "write", lambda handle, data: real(handle, data[:2]))
    handle = open_handle(tmp_path / "a", NEW)
    try:
        write_at(handle, b"0123456", 0)
    finally:
        os.close(handle)
    assert (tmp_path / "a").read_bytes() == b"0123456"


@pytest.fixture
def windows(monkeypatch: pytest.MonkeyPatch) -> list[float]:
    """Play Windows; gives the waits."""
    waits: list[float] = []
    monkeypatch.setattr(disk, "WINDOWS", True)
    monkeypatch.setattr(disk.time, "sleep", waits.append)
    return waits


def held(monkeypatch: pytest.MonkeyPatch, name: str, times: int) -> None:
    """Let a scanner hold every file for so many tries to rename or remove one."""
    real, left = getattr(Path, name), [times]

    def call(path: Path, *args: object, **kwargs: object) -> object:
        if left[0]:
            left[0] -= 1
            raise PermissionError(13, "Permission denied")
        return real(path, *args, **kwargs)

    monkeypatch.setattr(Path, name, call)


def test_a_file_that_a_scanner_holds_is_renamed_in_the_end(
    windows: list[float], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    held(monkeypatch, "replace", 3)
    (tmp_path / "a").write_bytes(b"x")
    (tmp_path / "b").write_bytes(b"y")
    replace(tmp_path / "a", tmp_path / "b")
    assert (tmp_path / "b").read_bytes() == b"x"
    assert len(windows) == 3


def test_a_file_that_a_scanner_holds_is_removed_in_the_end(
    windows: list[float], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    held(monkeypatch, "unlink", 3)
    (tmp_path / "a").write_bytes(b"x")
    unlink(tmp_path / "a")
    unlink(tmp_path / "never there")
    assert list(tmp_path.iterdir()) == []
    assert len(windows) == 3


def test_a_file_that_stays_held_is_given_up_within_two_seconds(
    windows: list[float], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    held(monkeypatch, "replace", 10_000)
    with pytest.raises(PermissionError):
        replace(tmp_path / "a", tmp_path / "b")
    assert 0.5 < sum(windows) <= 2


def test_elsewhere_nothing_is_tried_twice(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setattr(disk, "WINDOWS", False)
    held(monkeypatch, "replace", 1)
    (tmp_path / "a").write_bytes(b"x")
    with pytest.raises(PermissionError):
        replace(tmp_path / "a", tmp_path / "b")


def test_windows_opens_no_folder(windows: list[float], tmp_path: Path) -> None:
    sync_folder(tmp_path / "not even there")
    with pytest.raises(IsADirectoryError):
        open_handle(tmp_path, os.O_RDONLY)
    assert windows == []


DEVICES = ("con", "CON", "Nul", "prn", "aux", "com1", "COM9", "lpt1", "com¹", "conin$", "CONOUT$",
           "con.txt", "nul.tar.gz", "aux .txt", "com0")  # fmt: skip
PLAIN = ("console", "co", "com10", "com", "lpt", "hill-house", "icon", "con-2", "nul_", "", "job")


@pytest.mark.parametrize("name", [*DEVICES, *PLAIN])
def test_the_names_of_devices_are_known(name: str) -> None:
    assert is_device(name) == (name in DEVICES)
    if name != "com0":  # Python counts from 1; Windows reserves 0 too (naming-a-file)
        assert is_device(name) == PureWindowsPath(name).is_reserved()
    assert not is_device(fit_name(name))


@pytest.mark.parametrize("name", ["CON", "nul", "Com1", "Aux.", "LPT9 "])
def test_a_job_named_like_a_device_lies_in_a_folder_that_windows_can_make(desk, now, name) -> None:
    from crewdesk.trade.cuts.section import Section

    change = beams.new_job(name.strip(), Section(8, 10), now)
    ids = [desk.create(change), desk.create(change)]
    assert len(set(ids)) == 2
    for id_ in ids:
        assert not PureWindowsPath(id_).is_reserved()
        assert desk.open(id_, writing=False).record.job.name == name.strip()


@pytest.mark.parametrize("name", ["Hill. ", "Hill...", "Hill "])
def test_no_folder_of_a_job_ends_in_a_dot_or_space(desk, now, name) -> None:
    from crewdesk.trade.cuts.section import Section

    id_ = desk.create(beams.new_job(name, Section(8, 10), now))
    assert id_ == "hill"


def test_papers_get_names_that_every_system_can_keep(tmp_path: Path) -> None:
    assert free_name(tmp_path, "con", ".pdf").name == "job-con.pdf"
    assert free_name(tmp_path, "Lot 7.", ".pdf").name == "Lot-7.pdf"


@pytest.mark.parametrize(
    ("name", "why"),
    [
        ("con", "device"),
        ("nul.json", "device"),
        ("a.json ", "at the end"),
        ("a.", "at the end"),
        ('a"b', "doesn't allow"),
        ("a?", "doesn't allow"),
    ],
)
def test_windows_refuses_a_name_in_a_sentence(windows, tmp_path: Path, name, why) -> None:
    with pytest.raises(NotAllowed, match=why):
        check_new(tmp_path / name)
    assert list(tmp_path.iterdir()) == []


def test_elsewhere_every_name_is_taken(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(disk, "WINDOWS", False)
    assert why_unfit("con") == why_unfit("a.") == why_unfit("a?b") == ""


def test_the_part_of_a_file_is_closed_before_it_is_renamed_or_removed(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    # Windows refuses both for an open file, and the part stayed there.
    at_rest: list[bool] = []
    opened: dict[str, int] = {}
    real_open, real_link, real_unlink = os.open, os.link, Path.unlink

    def open_noted(path: Path, *args: int) -> int:
        handle = real_open(path, *args)
        opened[str(path)] = handle
        return handle

    def is_closed(path: Path) -> bool:
        try:
            os.fstat(opened[str(path)])
        except OSError:
            return True
        return False

    def link(old: Path, new: Path) -> None:
        at_rest.append(is_closed(old))
        real_link(old, new)

    def remove(path: Path, missing_ok: bool = False) -> None:
        at_rest.append(is_closed(path))
        real_unlink(path, missing_ok=missing_ok)

    monkeypatch.setattr(os, "open", open_noted)
    monkeypatch.setattr(os, "link", link)
    monkeypatch.setattr(Path, "unlink", remove)
    write_new(tmp_path / "a.json", b"{}")
    assert at_rest == [True, True]
    assert [one.name for one in tmp_path.iterdir()] == ["a.json"]

"""The history: a line for each change, only ever added to."""

import hashlib
import os
from zlib import crc32

import pytest

from crewdesk.errors import Damaged, Unsure
from crewdesk.job.change import ABSENT, Change, Edit
from crewdesk.store import history_file
from crewdesk.store.checkpoint import START, Place
from crewdesk.store.history_file import HistoryFile
from crewdesk.store.history_lines import History, end_of


def changes(lines):
    return [line.change for line in lines]


@pytest.fixture
def path(tmp_path):
    return tmp_path / "hill.history"


@pytest.fixture
def change(now):
    return lambda what: Change(what, (Edit(("beams", "1", "note"), ABSENT, what),), now)


@pytest.fixture
def three(path, change):
    """A history of three changes, closed."""
    history = HistoryFile(path)
    for what in ("one", "two", "three"):
        history.add(change(what))
    return [change(what) for what in ("one", "two", "three")]


def test_lines_are_a_crc_a_seal_and_a_change(path, three) -> None:
    lines = path.read_bytes().splitlines()
    assert len(lines) == 3
    seal = b""
    for line in lines:
        check, _, rest = line.partition(b" ")
        assert int(check, 16) == crc32(rest)
        # By hashlib alone: each seal is over the one before and the change.
        told, _, text = rest.partition(b" ")
        seal = hashlib.sha256(seal + text).hexdigest()[:16].encode()
        assert told == seal


def test_read_from_anywhere(path, three) -> None:
    history = HistoryFile(path)
    lines = history.tail(START)
    assert changes(lines) == three
    assert history.end.bytes == path.stat().st_size
    assert changes(history.tail(lines[0].place)) == three[1:]
    end = lines[-1].place
    assert [history.one(number, end) for number in (1, 2, 3)] == three
    assert [*history.back(end)] == [(3, three[2]), (2, three[1]), (1, three[0])]
    assert [*history.back(lines[1].place)] == [(2, three[1]), (1, three[0])]
    assert [*history.back(START)] == []
    assert history.changes() == three
    assert HistoryFile(path.with_name("none")).tail(START) == []
    whole = History.read(path)
    assert [whole.place(number) for number in (1, 2, 3)] == [one.place for one in lines]
    assert changes(whole.after(1)) == three[1:]
    assert end_of(path) == whole.end == lines[2].place.seal


@pytest.mark.parametrize("block", [1, 7, 300, 1000])
def test_read_from_its_end_in_blocks(path, three, monkeypatch, block, refusing) -> None:
    monkeypatch.setattr(history_file, "BLOCK", block)
    history = HistoryFile(path)
    end = history.tail(START)[-1].place
    assert [change for _, change in history.back(end)] == three[::-1]
    assert "change 4 is missing" in refusing(history.one, 4, end)
    path.write_bytes(path.read_bytes().replace(b'"number":2', b'"number":3'))
    back = history.back(end)
    assert next(back) == (3, three[2])
    assert "change 2 isn't as it was saved" in refusing(next, back)


def test_many_lines_at_once_are_the_same_lines(path, three) -> None:
    other = HistoryFile(path.with_name("other"))
    other.add(*three)
    assert other.path.read_bytes() == path.read_bytes()


def test_a_torn_last_line_is_let_go_of_at_every_length(path, three, change) -> None:
    whole = path.read_bytes()
    second = len(b"".join(whole.splitlines(keepends=True)[:2]))
    for length in range(second, len(whole), 4):
        path.write_bytes(whole[:length])
        history = HistoryFile(path)
        assert changes(history.tail(START)) == three[:2]
        history.add(change("three"))
        assert path.read_bytes() == whole


def test_a_torn_line_longer_than_the_next_leaves_nothing_behind(path, three, change) -> None:
    with path.open("ab") as file:
        file.write(b"0" * 5000)
    history = HistoryFile(path)
    history.tail(START)
    history.add(change("four"))
    assert changes(HistoryFile(path).tail(START)) == [*three, change("four")]


def test_a_bad_line_in_the_middle_is_damage(path, three) -> None:
    whole = path.read_bytes()
    lines = whole.splitlines(keepends=True)
    for bad in (
        lines[1].replace(b"two", b"tow"),
        b"\n",
        b"not a change\n",
        b"%08x %s\n" % (crc32(b"[1]"), b"[1]"),
        b"%08x %s\n" % (crc32(b'{"number":2}'), b'{"number":2}'),
        b"%08x %s\n" % (crc32(b"[" * 99_999), b"[" * 99_999),
        lines[2],
        b"",
    ):
        path.write_bytes(lines[0] + bad + lines[2])
        history = HistoryFile(path)
        with pytest.raises(Damaged) as caught:
            history.tail(START)
        assert "change 2" in str(caught.value)
        if bad and bad not in lines and not bad.endswith((b"]\n", b"}\n", b"[\n")):
            assert not History.read(path).fits(2)


def test_a_place_that_a_history_does_not_hold(path, three) -> None:
    history = HistoryFile(path)
    lines = history.tail(START)
    place = lines[2].place
    assert history.tail(place) == []
    assert history.tail(Place(4, place.bytes + 1, place.seal)) is None
    assert history.tail(Place(3, place.bytes, "0" * 16)) is None
    assert history.tail(Place(2, place.bytes - 1, place.seal)) is None
    path.unlink()
    assert history.tail(place) is None
    with pytest.raises(Damaged, match="ends before change 3"):
        history.changes()


@pytest.mark.parametrize("call", ["line", "fsync"])
def test_a_line_that_is_not_taken_leaves_nothing(path, three, change, failing, call) -> None:
    whole = path.read_bytes()
    history = HistoryFile(path)
    history.tail(START)
    with failing(call) as hits, pytest.raises(OSError, match="Input/output"):
        history.add(change("long" * 99))
    assert hits
    assert path.read_bytes() == whole
    history.add(change("four"))
    assert changes(HistoryFile(path).tail(START)) == [*three, change("four")]


def test_what_could_not_be_cut_off_at_once_is_cut_off_before_the_next_line(
    path, three, change, monkeypatch
) -> None:
    history = HistoryFile(path)
    history.tail(START)
    history.add(change("four"))

    def fail(*_):
        raise OSError(5, "Input/output error")

    with monkeypatch.context() as patch:
        patch.setattr(os, "fsync", fail)
        patch.setattr(os, "ftruncate", fail)
        with pytest.raises(Unsure, match="Input/output"):
            history.add(change("long" * 99))
        with pytest.raises(Unsure, match="Input/output"):
            history.add(change("five"))
    history.add(change("five"))
    assert changes(HistoryFile(path).tail(START))[-1] == change("five")


def test_a_break_from_the_keyboard_leaves_no_half_line(path, three, change, monkeypatch) -> None:
    def interrupted(*_):
        raise KeyboardInterrupt

    history = HistoryFile(path)
    history.tail(START)
    with monkeypatch.context() as patch:
        patch.setattr(os, "fsync", interrupted)
        with pytest.raises(KeyboardInterrupt):
            history.add(change("long" * 99))
    history.add(change("four"))
    assert changes(HistoryFile(path).tail(START)) == [*three, change("four")]


def test_a_short_write_is_gone_on_with(path, change, monkeypatch) -> None:
    real = os.write
    monkeypatch.setattr(os, "write", lambda handle, data: real(handle, data[:7]))
    history = HistoryFile(path)
    history.add(change("one"))
    assert changes(HistoryFile(path).tail(START)) == [change("one")]


@pytest.mark.unix("Windows opens no folder to sync it")
def test_a_new_history_lasts_in_its_folder_or_is_not_begun(path, change, failing) -> None:
    history = HistoryFile(path)
    for _ in range(2):
        with failing("fsync folder") as hits, pytest.raises(OSError, match="Input/output"):
            history.add(change("one"))
        assert hits
    history.add(change("one"))
    assert changes(HistoryFile(path).tail(START)) == [change("one")]
    assert path.stat().st_mode & 0o777 == 0o600

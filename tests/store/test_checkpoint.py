"""A whole record in one file: sealed, replaced at once or not at all, kept for a while."""

import hashlib
import io
import json
import os
from contextlib import suppress
from errno import EINVAL, ENOSPC

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crewdesk.errors import Damaged
from crewdesk.store import checkpoint
from crewdesk.store.checkpoint import GENERATIONS, SCHEMA, Checkpoint, Head, Place
from crewdesk.store.history_lines import copy_files

ROWS = st.dictionaries(
    st.integers(1, 99).map(str), st.dictionaries(st.text(), st.text() | st.integers()), max_size=3
)


@pytest.fixture
def path(tmp_path):
    return tmp_path / "hill.json"


@pytest.fixture
def kept(now):
    def make(note: str = "old") -> Checkpoint:
        return Checkpoint(
            Head("job", now, Place(3, 99, "ab"), {"name": "Hill"}), {"beams": {"1": {"note": note}}}
        )

    return make


@settings(deadline=None, max_examples=20)
@given(tables=st.dictionaries(st.sampled_from(["job", "beams"]), ROWS))
def test_packed_and_unpacked(tables, now, tmp_path_factory) -> None:
    one = Checkpoint(Head("job", now, Place(7, 1000), {"name": "\ud800"}), tables)
    assert checkpoint.unpack(checkpoint.pack(one), tmp_path_factory.getbasetemp(), "job") == one


def test_the_file_is_one_json_object_with_its_schema_and_a_sha_256(path, kept, now) -> None:
    checkpoint.write(path, kept())
    data = path.read_bytes()
    doc = json.loads(data)
    assert (doc["crewdesk"], doc["schema"], doc["written"]) == ("job", SCHEMA, now.isoformat())
    # By hashlib alone: the seal is over the file without the seal itself.
    seal = f',"sha256":"{doc["sha256"]}",\n'.encode()
    assert hashlib.sha256(data.replace(seal, b"}\n")).hexdigest() == doc["sha256"]
    assert checkpoint.read_head(path, "job") == kept().head


def test_a_change_of_any_byte_is_seen(path, kept) -> None:
    checkpoint.write(path, kept())
    data = path.read_bytes()
    for at in range(0, len(data), 3):
        path.write_bytes(data[:at] + bytes([data[at] ^ 1]) + data[at + 1 :])
        with pytest.raises(Damaged) as caught:
            checkpoint.read(path, "job")
        assert str(caught.value).startswith(f"{path.parent.name}/hill.json can't be read: ")
        assert str(caught.value).endswith("The file was left as it is.")


def test_a_file_cut_short_anywhere_is_seen(path, kept) -> None:
    checkpoint.write(path, kept())
    data = path.read_bytes()
    for length in range(0, len(data), 3):
        path.write_bytes(data[:length])
        with pytest.raises(Damaged):
            checkpoint.read(path, "job")


@pytest.mark.parametrize(
    ("was", "now_", "told"),
    [
        (b'"crewdesk":"job"', b'"crewdesk":"shop"', "it is a crewdesk shop, not a job"),
        (b'"schema":4', b'"schema":5', "a newer crewdesk wrote it (schema 5, this one 4); update"),
        (b'"schema":4', b'"schema":0', "it has schema 0, and this crewdesk reads up to 4"),
        (b'"seal":"ab"', b'"seal":7', "its beginning isn't what crewdesk writes"),
        (b'"changes":3', b'"changes":"3"', "its beginning isn't what crewdesk writes"),
        (b'"holds":[]', b'"holds":[1]', "its beginning isn't what crewdesk writes"),
        (b'"bytes":99', b'"bytes":-1', "its beginning isn't what crewdesk writes"),
        (b'"summary":{"name":"Hill"}', b'"summary":[]', "its beginning isn't what"),
        (b'"written":"2026', b'"written":"x', "its beginning isn't what crewdesk writes"),
        (b'"tables":{', b'"table":{', "its tables aren't JSON"),
        (b'"1":{"note":"old"}', b'"1":[]', "its tables aren't JSON"),
    ],
)
def test_a_file_that_is_sealed_and_still_no_record(path, kept, was, now_, told) -> None:
    data = checkpoint.pack(kept())
    seal = b',"sha256":"' + json.loads(data)["sha256"].encode() + b'",\n'
    bare = data.replace(seal, b"}\n").replace(was, now_)
    sealed = seal.replace(
        json.loads(data)["sha256"].encode(), hashlib.sha256(bare).hexdigest().encode()
    )
    path.write_bytes(bare.replace(b"}\n", sealed, 1))
    with pytest.raises(Damaged) as caught:
        checkpoint.read(path, "job")
    assert told in str(caught.value)


@pytest.mark.parametrize(
    "hostile",
    [b"", b"{}", b"\x00" * 99, b"[" * 100_000, b"\n", b"\xff\xfe"],
    ids=["nothing", "object", "zeros", "nested", "line", "utf-16"],
)
def test_a_file_that_is_something_else(path, hostile) -> None:
    path.write_bytes(hostile)
    for read in (checkpoint.read, checkpoint.read_head):
        with pytest.raises(Damaged):
            read(path, "job")


@pytest.mark.parametrize("call", ["open", "write", "fsync", "rename"])
def test_a_fault_leaves_the_old_file_as_it_was(path, kept, failing, files, call) -> None:
    checkpoint.write(path, kept("old"))
    with failing(call, code=ENOSPC) as hits, pytest.raises(OSError, match="No space"):
        checkpoint.write(path, kept("new"), keep=False)
    assert hits
    assert checkpoint.read(path, "job") == kept("old")
    assert list(files(path.parent)) == ["hill.json"]
    checkpoint.write(path, kept("new"))
    assert checkpoint.read(path, "job") == kept("new")


@pytest.mark.parametrize("step", ["write", "flush"])
def test_a_fault_in_the_middle_of_writing(path, kept, monkeypatch, files, step) -> None:
    class Full(io.FileIO):
        def write(self, data) -> int:
            if step == "write":
                super().write(bytes(data)[:10])
                raise OSError(ENOSPC, os.strerror(ENOSPC))
            return super().write(data)

        def flush(self) -> None:
            if step == "flush":
                raise OSError(ENOSPC, os.strerror(ENOSPC))

        def close(self) -> None:
            os.close(self.fileno()) if not self.closed else None

    checkpoint.write(path, kept("old"))
    with monkeypatch.context() as patch:
        patch.setattr(os, "fdopen", lambda handle, mode: Full(handle, mode, closefd=False))
        with pytest.raises(OSError, match="No space"):
            checkpoint.write(path, kept("new"))
    assert checkpoint.read(path, "job") == kept("old")
    assert list(files(path.parent)) == ["hill.json"]


@pytest.mark.unix("Windows opens no folder to sync it")
def test_a_fault_at_the_folder_is_told_and_a_whole_file_is_there(path, kept, failing) -> None:
    checkpoint.write(path, kept("old"))
    with failing("fsync folder"), pytest.raises(OSError, match="Input/output"):
        checkpoint.write(path, kept("new"))
    assert checkpoint.read(path, "job") == kept("new")


@pytest.mark.unix("Windows opens no folder to sync it")
def test_a_system_that_can_not_sync_folders_does_without(path, kept, failing) -> None:
    with failing("fsync folder", code=EINVAL) as hits:
        checkpoint.write(path, kept())
    assert hits
    assert checkpoint.read(path, "job") == kept()


@pytest.mark.unix("Windows opens no folder to sync it")
def test_it_is_synced_before_it_is_renamed_and_the_folder_after(path, kept, monkeypatch) -> None:
    order = []
    sync, rename = os.fsync, type(path).replace
    monkeypatch.setattr(os, "fsync", lambda h: (order.append("fsync"), sync(h))[1])
    monkeypatch.setattr(
        type(path), "replace", lambda one, to: (order.append(one.suffix), rename(one, to))[1]
    )
    checkpoint.write(path, kept())
    assert order == ["fsync", ".new", "fsync"]


def test_the_last_generations_are_kept(path, kept) -> None:
    assert copy_files(path.parent) == []
    for number in range(GENERATIONS + 3):
        checkpoint.write(path, kept(str(number)))
    notes = [
        checkpoint.read(one, "job").tables["beams"]["1"]["note"] for one in copy_files(path.parent)
    ]
    assert notes == ["5", "4", "3", "2"]
    checkpoint.write(path, kept("6"), keep=False)
    assert checkpoint.read(copy_files(path.parent)[1], "job") == kept("4")


def test_kept_copies_are_files_of_their_own(path, kept, failing) -> None:
    """Also after renames that were refused or a program that was killed between two of them:
    none is another name of a second one, and none is written in place."""
    for number in range(3):
        checkpoint.write(path, kept(str(number)))
    last = "2"
    for nth in (1, 2, 3, 4, 1, 2):
        for again in range(2):
            with failing("any rename", nth) as hits, suppress(OSError):
                checkpoint.write(path, kept(f"{nth} {again}"))
            last = last if hits else f"{nth} {again}"
            inodes = [one.stat().st_ino for one in path.parent.glob("hill.json*")]
            assert len(set(inodes)) == len(inodes)
            there = copy_files(path.parent)
            notes = [checkpoint.read(one, "job").tables["beams"]["1"]["note"] for one in there]
            assert len(set(notes)) == len(notes)
            assert notes[0] == last
    checkpoint.write(path, kept("3"))
    assert checkpoint.read(path, "job") == kept("3")


def test_no_links_are_needed(path, kept, monkeypatch) -> None:
    monkeypatch.delattr(os, "link")
    checkpoint.write(path, kept("1"))
    checkpoint.write(path, kept("2"))
    _, older = copy_files(path.parent)
    assert checkpoint.read(older, "job") == kept("1")
    if os.name != "nt":  # modes mean nothing on Windows
        assert older.stat().st_mode & 0o777 == 0o600


@pytest.mark.unix("modes mean nothing on Windows")
def test_files_are_the_user_s_alone(path, kept) -> None:
    before = os.umask(0)
    try:
        checkpoint.write(path, kept())
        checkpoint.write(path, kept())
    finally:
        os.umask(before)
    assert [one.stat().st_mode & 0o777 for one in path.parent.iterdir()] == [0o600] * 2

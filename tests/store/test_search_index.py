"""The index over all jobs: what it finds is what the jobs hold, and it mends itself."""

import os
import shutil

import pytest

from crewdesk.job.beams import beams, take
from crewdesk.job.beams.piece import Spot
from crewdesk.store.desk import Desk
from crewdesk.store.search_index import SearchIndex


@pytest.fixture
def index(desk: Desk, job, tmp_path) -> SearchIndex:
    found = SearchIndex(desk, tmp_path / "cache")
    found.refresh()
    return found


def texts(index: SearchIndex, text: str) -> list[str]:
    return [one.text for one in index.find(text, 50)]


def test_words_are_found_as_a_whole_within_and_short(index: SearchIndex, job) -> None:
    assert texts(index, "quill") == ["Hill house · Ada Quill"]
    assert texts(index, "great RIDGE nor") == ["Great room Ridge · north · south"]
    assert texts(index, "ri ge") == ["Great room Ridge · north · south"]
    assert texts(index, "h") != []
    assert texts(index, "") == []
    for odd in ('"', "100%", "a_b", "\\", "AND OR NOT", "*", "text:x", "é\0"):
        assert texts(index, odd) == []
    assert len(index.find("great", 1)) == 1


def test_it_follows_the_jobs(index: SearchIndex, desk: Desk, job, now) -> None:
    reading = take.typed_reading(job.record, "run", "147-5/16", now)
    job.make(take.take(job.record, Spot("1", "A"), "run", reading))
    assert texts(index, "147 5/16") == []
    index.refresh()
    (one,) = index.find("147 5/16", 5)
    assert (one.job, one.sort, one.beam, one.piece) == (job.id, "reading", "1", "A")
    job.make(beams.remove_beam(job.record, "1", now))
    index.refresh()
    assert texts(index, "147 5/16") == texts(index, "ridge") == []
    job.close(now)
    for path in desk.jobs_folder.iterdir():
        shutil.rmtree(path)
    index.refresh()
    assert texts(index, "great") == []


def test_one_that_is_damaged_or_gone_is_made_anew(index: SearchIndex, tmp_path) -> None:
    (kept,) = (tmp_path / "cache").glob("search-*.sqlite")
    for spoil in (lambda path: path.write_bytes(b"x" * 5000), lambda path: path.unlink()):
        for path in kept.parent.glob("*.sqlite-*"):
            path.unlink()
        spoil(kept)
        index.refresh()
        assert texts(index, "quill") != []
    if os.name != "nt":  # modes mean nothing on Windows
        assert kept.stat().st_mode & 0o077 == 0


def test_a_job_that_can_not_be_read_is_passed_over(index: SearchIndex, desk: Desk, job) -> None:
    (desk.jobs_folder / "broken").mkdir()
    (desk.jobs_folder / "broken" / "here.json").write_text("{")
    index.refresh()
    assert texts(index, "quill") != []

"""Files and folders are for the user alone, and none lies outside the data folder."""

import os
from collections.abc import Callable, Iterator
from contextlib import suppress
from datetime import datetime, timedelta
from pathlib import Path
from stat import S_IMODE

import pytest

from crewdesk.cli import main
from crewdesk.errors import CrewdeskError, NotAllowed
from crewdesk.job.beams import beams
from crewdesk.store.desk import Desk
from crewdesk.store.search_index import SearchIndex
from crewdesk.trade.cuts.section import Section
from tests.hostile.strings import BREAKS, NOT_TAKEN, SAMPLE, TAKEN, fill_desk

NOW = datetime.fromisoformat("2026-03-06T08:00:00-07:00")
PATHS = (
    "../../escape", "/tmp/escape", "..", ".", "~", "a/../../b", "\\..\\x", "con", "", "-rf",
    "shop", "jobs", "x.json", "\u2024\u2024/x", "\uff0e\uff0e/x",
)  # fmt: skip


@pytest.fixture
def open_mask() -> Iterator[None]:
    """A system that would give everything to everybody."""
    before = os.umask(0)
    yield
    os.umask(before)


def modes(folder: Path) -> dict[str, int]:
    """The permissions of a folder and all that is in it."""
    every = [folder, *folder.rglob("*")]
    return {str(path.relative_to(folder)): S_IMODE(path.stat().st_mode) for path in every}


@pytest.mark.unix("modes mean nothing on Windows")
def test_what_is_made_is_for_the_user_alone(
    open_mask: None, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    desk = Desk(tmp_path / "data")
    id_ = fill_desk(desk, NOW)
    for later in range(1, 6):
        job = desk.open(id_)
        job.make(beams.change_job(job.record, {"notes": f"{later}"}, NOW + timedelta(later)))
        job.close(NOW + timedelta(later))
        desk.shop.change(NOW, who=f"{later}")
    damaged = desk.path(id_)
    damaged.write_bytes(damaged.read_bytes()[:-5])
    desk.bring_back(id_, NOW)
    data = ["--data", str(desk.folder)]
    out = tmp_path / "out"
    out.mkdir(mode=0o700)
    index = SearchIndex(desk, tmp_path / "cache")
    index.refresh()
    for text in (*TAKEN, *NOT_TAKEN, "x " * 5000):
        with suppress(CrewdeskError):
            index.find(text, 5)
    assert main(["export", id_, "--to", str(out / "job.json"), *data]) == 0
    assert main(["invoice", id_, "--number", "1", "--pdf", str(out / "1.pdf"), *data]) == 0
    for place in (desk.folder, out, tmp_path / "cache"):
        found = modes(place)
        assert len(found) > 1
        for path, mode in found.items():
            assert mode == (0o700 if (place / path).is_dir() else 0o600), path
    names = {path.suffix for path in desk.folder.rglob("*")}
    assert {".json", ".history", ".lock", ".1", ".3"} <= names
    assert any(".damaged-" in path.name for path in desk.folder.rglob("*"))


@pytest.mark.parametrize("name", [*PATHS, *TAKEN[::4], *NOT_TAKEN[::4], BREAKS])
def test_a_name_leads_nowhere_else(tmp_path: Path, name: str, refusing: Callable[..., str]) -> None:
    desk = Desk(tmp_path / "data")
    if name in NOT_TAKEN or not name:
        said = refusing(lambda: desk.create(beams.new_job(name, Section(8, 10), NOW)))
        assert said.isprintable()
        assert desk.ids() == []
    else:
        id_ = desk.create(beams.new_job(name, Section(8, 10), NOW))
        assert desk.path(id_).parent.parent == desk.jobs_folder
        assert desk.path(id_).is_file()
    assert [path.name for path in tmp_path.iterdir()] == ["data"]


@pytest.mark.parametrize("name", PATHS[:3])
def test_a_job_is_looked_for_in_the_folder_alone(
    tmp_path: Path, name: str, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "escape.json").write_bytes(SAMPLE.read_bytes())
    (tmp_path / "data").mkdir()
    for words in (["cutlist", f"./{name}"], ["restore", f"./{name}"], ["export", f"./{name}"]):
        assert main([*words, "--data", str(tmp_path / "data")]) == 2
        assert "There is no job" in capsys.readouterr().err
    with pytest.raises(NotAllowed, match="There is no job"):
        Desk(tmp_path / "data").bring_back("../escape", NOW)


@pytest.mark.parametrize("name", ["A" * 300 + ".pdf", "nul\x00.pdf", "\ud800.pdf", "x/" * 3000])
def test_a_file_that_can_have_no_such_name(
    tmp_path: Path, name: str, refusing: Callable[..., str]
) -> None:
    from crewdesk.paper.job_document import check_new, write_new

    path = tmp_path / name
    for act in (lambda: (check_new(path), write_new(path, b"x")), lambda: write_new(path, b"x")):
        assert "can't be written" in refusing(act)
    assert list(tmp_path.iterdir()) == []

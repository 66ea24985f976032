"""Every figure that crewdesk gives makes a board that fits: 300 rooms, dry fitted.

`python -m tests.bench.dry_fit` tries 20,000 rooms, and counts the faults put into
crewdesk's arithmetic that this notices.
"""

import ast
from pathlib import Path

import pytest

from tests.dry_fit.trial import Job, jobs, try_job

SEED = 0
HERE = Path(__file__).parent


def test_nothing_of_crewdesk_is_loaded_by_the_simulator() -> None:
    """It must not share a formula with what it measures; also not by way of the tests' own."""
    for path in [*HERE.glob("*.py"), *(HERE.parent / "bench" / "dry_fit").glob("*.py")]:
        for name in _imported(path):
            assert not name.startswith("crewdesk"), path
            if name.startswith("tests."):
                assert name.startswith(("tests.dry_fit", "tests.bench.dry_fit")), path


def _imported(path: Path) -> list[str]:
    names = []
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.Import):
            names += [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}: a relative import"
            names.append(node.module or "")
        elif isinstance(node, ast.Call) and ast.unparse(node.func).endswith("import_module"):
            names += [ast.literal_eval(arg) for arg in node.args]
    return names


JOBS = tuple(jobs(SEED, 304, 38))


@pytest.mark.parametrize("job", JOBS, ids=lambda job: f"job{job.number}")
def test_every_board_fits(job: Job, tmp_path: Path) -> None:
    """With exact readings within the rounding of its marks, and never over where it must go
    in; with readings that are off within what its marks are said to be within. No measure is
    left out where it belongs."""
    tried = try_job(job, tmp_path)
    assert [one.room.number for one in tried] == [room.number for room in job.rooms]
    bad = [
        str(one._replace(measures=[measure]))
        for one in tried
        for measure in one.measures
        if measure.beyond > 0
    ]
    assert bad == []
    for one in tried:
        assert one.failed == ""
        boards = {measure.board for measure in one.measures}
        assert {"bottom", *(f"side {key}" for key in one.room.sides)} <= boards
        assert "scribe" in boards
        assert len(one.measures) > 40


def test_300_rooms_of_every_kind_are_tried() -> None:
    rooms = [room for job in JOBS for room in job.rooms]
    assert len(rooms) >= 300
    assert len({room.kind for room in rooms}) == 9

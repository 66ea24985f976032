"""A data folder, a job with two beams and a clock that stands still, for every test below."""

import gc
import os
import pickle
import shutil
import sys
import tempfile
from collections.abc import Callable, Iterator, Sequence
from contextlib import redirect_stdout
from datetime import datetime, timedelta
from fractions import Fraction as Fr
from io import StringIO
from pathlib import Path

import pytest
from hypothesis import settings
from hypothesis import strategies as st

from crewdesk.errors import CrewdeskError, NotAllowed
from crewdesk.job.beams import beams, take
from crewdesk.job.change import Change, Tables
from crewdesk.job.cuts.scribing import read_ceiling
from crewdesk.job.record import Record
from crewdesk.job.steps import restage, ticks
from crewdesk.job.steps.ticks import Spot
from crewdesk.job.time import clock
from crewdesk.screens.parts import actions
from crewdesk.store import machine_clock
from crewdesk.store.desk import Desk
from crewdesk.store.job_file import JobFile
from crewdesk.trade.cuts.ceiling import Station
from crewdesk.trade.cuts.section import Section
from tests.frames import cheap_frames

# What a test or a program that it starts compiled is kept, as for the user; but not where
# `tests.bench.mutants` changes a file again within a second.
if "CREWDESK_MUTANT" not in os.environ:
    os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
    sys.dont_write_bytecode = False
# Files of the tests' data folders bear this name, also where a test starts another program.
os.environ["CREWDESK_MACHINE"] = "here"

# A test that draws examples draws a few, others in each run. `.ci/run` runs these tests once more
# by `--hypothesis-profile many`; `tests.bench.mutants` draws some.
for profile, examples in (("few", 25), ("some", 60), ("many", 200)):
    settings.register_profile(profile, max_examples=examples, deadline=None)
settings.load_profile("few")

NOW = datetime.fromisoformat("2026-03-02T07:30:00-05:00")
AT_THE_DOOR = datetime.fromisoformat("2026-03-20T16:40:00-06:00")
"""What commands take for now: a Friday after the last day of the sample job."""
SAMPLE = Path(__file__).parent.parent / "sample_data" / "tamarack-bend.json"
IMPORT_SAMPLE = ("import", str(SAMPLE))
SECTION = Section(Fr(8), Fr(10))
BEAMS = (("Ridge", "Great room", ("north", "south")), ("Cross", "Great room", ("east", "west")))


def pytest_collection_finish() -> None:
    """Keep what collecting made out of every later collection of garbage: pytest's last five
    alone would go over all of it, in every process."""
    gc.freeze()


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """On Windows skip what is marked `unix`, with the reason that the marker gives."""
    if os.name == "nt":
        for item in items:
            if marker := item.get_closest_marker("unix"):
                (reason,) = marker.args
                item.add_marker(pytest.mark.skip(reason=f"unix: {reason}"))


class SetClock:
    """A clock that stands at `at` until a test moves it."""

    def __init__(self) -> None:
        self.at = AT_THE_DOOR

    def __call__(self) -> datetime:
        return self.at


@pytest.fixture(scope="session", autouse=True)
def _clock() -> Iterator[SetClock]:
    """The clock of every command and every app that a test runs in its own process, in place of
    the machine's: no test depends on the hour, the day or the zone of the machine."""
    clock = SetClock()
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(machine_clock, "machine_now", clock)
        yield clock


@pytest.fixture(scope="session", autouse=True)
def _platform() -> Iterator[None]:
    """Screens name Linux's keys on every machine that runs the tests."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(actions, "PLATFORM", "linux")
        yield


@pytest.fixture(scope="session", autouse=True)
def _frames() -> Iterator[None]:
    """Apps without a terminal make their frames and lay out no lines that nobody sees."""
    with pytest.MonkeyPatch.context() as patch:
        cheap_frames(patch)
        yield


@pytest.fixture(scope="session", autouse=True)
def _temporary(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """A folder for temporary files, of which none may be left by the tests or what they start.
    Other users may go through it, as through the system's own: some tests play one."""
    tmp_path_factory.getbasetemp()  # pytest's own lies where it always does
    with tempfile.TemporaryDirectory(prefix="crewdesk-tests-") as folder:
        Path(folder).chmod(0o755)
        with pytest.MonkeyPatch.context() as patch:
            patch.setenv("TMPDIR", folder)
            patch.setattr(tempfile, "tempdir", folder)
            yield
        assert [one.name for one in Path(folder).iterdir()] == []


@pytest.fixture
def door_clock(_clock: SetClock) -> Iterator[SetClock]:
    """The clock of the commands, to be set: `door_clock.at = ...`."""
    yield _clock
    _clock.at = AT_THE_DOOR


@pytest.fixture(scope="session")
def copy_data(_clock: SetClock, tmp_path_factory: pytest.TempPathFactory) -> Callable[..., Path]:
    """Copies a data folder as some commands, by default the import of the sample job, leave it at
    the time that the clock stands at. They are run once for all tests."""
    made: dict[tuple[object, ...], Path] = {}

    def copy(folder: Path, *commands: Sequence[str]) -> Path:
        from crewdesk.cli import main

        every = tuple(tuple(words) for words in commands or [IMPORT_SAMPLE])
        if (_clock.at, every) not in made:
            data = tmp_path_factory.mktemp("prepared") / "data"
            with redirect_stdout(StringIO()):
                assert [main([*words, "--data", str(data)]) for words in every] == [0] * len(every)
            made[_clock.at, every] = data
        return Path(shutil.copytree(made[_clock.at, every], folder, dirs_exist_ok=True))

    return copy


@pytest.fixture(scope="session")
def now() -> datetime:
    """A morning on site, a Monday."""
    return NOW


@pytest.fixture
def minute() -> Callable[[], datetime]:
    """Each call is one minute later than the one before, from `now` on."""
    minutes = iter(range(1, 1_000_000))
    return lambda: NOW + timedelta(minutes=next(minutes))


@pytest.fixture(scope="session")
def fresh_record() -> Callable[[], Record]:
    """Makes a record in memory: a job with two beams, 8 by 10, nothing read or done."""

    made = Record({})
    made.make(beams.new_job("Hill house", SECTION, NOW, customer="Ada Quill", site="Lot 7"))
    for name, room, ends in BEAMS:
        made.make(beams.add_beam(made, name, room, NOW, ends=ends))
    tables = pickle.dumps(made.tables)
    return lambda: Record(pickle.loads(tables))


@pytest.fixture
def record(fresh_record: Callable[[], Record]) -> Record:
    return fresh_record()


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    return Desk(tmp_path / "data")


def make_job(desk: Desk) -> JobFile:
    """Make the same job as `record` in a data folder; it is open to be written."""
    opened = desk.open(desk.create(beams.new_job("Hill house", SECTION, NOW, customer="Ada Quill")))
    for name, room, ends in BEAMS:
        opened.make(beams.add_beam(opened.record, name, room, NOW, ends=ends))
    return opened


@pytest.fixture(scope="session")
def _made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A data folder with that job, made once for all tests."""
    desk = Desk(tmp_path_factory.mktemp("made") / "data")
    make_job(desk).close(NOW)
    return desk.folder


@pytest.fixture
def job(desk: Desk, _made: Path) -> Iterator[JobFile]:
    """The same job as `record`, open in `desk` to be written."""
    shutil.copytree(_made, desk.folder, dirs_exist_ok=True)
    opened = desk.open(desk.ids()[0])
    yield opened
    opened.close(NOW)


@pytest.fixture(scope="session")
def refusing() -> Callable[..., str]:
    """Calls a function that must refuse; gives the one sentence that it says."""

    def check(function: Callable[..., object], *args: object, **kwargs: object) -> str:
        with pytest.raises(CrewdeskError) as caught:
            function(*args, **kwargs)
        said = str(caught.value)
        assert said.endswith("."), said
        assert "\n" not in said
        assert len(said) < 600, said
        for unfit in ("Error", "Traceback", "NoneType", "object at 0x", "__init__"):
            assert unfit not in said, said
        return said

    return check


@pytest.fixture(scope="session")
def walk() -> Callable[..., None]:
    """Takes a piece through its steps up to, not with, one of them; a minute to each step."""

    def go(record: Record, make: Callable[[Change], object], upto: str, at: datetime) -> None:
        for stage in record.stages:
            for step in stage.steps:
                if step.id == upto:
                    return
                for beam in record.beams:
                    for key, piece in beam.pieces.items():
                        if not step.is_for(piece.kind, piece.traits) or step.id in piece.steps:
                            continue
                        at += timedelta(minutes=1)
                        _read(record, make, Spot(beam.row, key), step.id, at)
                        make(ticks.tick(record, Spot(beam.row, key), step.id, at))

    return go


def _read(
    record: Record, make: Callable[[Change], object], spot: Spot, step: str, at: datetime
) -> None:
    if step == "scribe" and record.beam(spot.beam).pair.ceiling is None:
        level = tuple(Station(Fr(at), Fr(14), Fr(14)) for at in (0, 73, 147))
        make(read_ceiling(record, spot.beam, level, at))
    for what in {"cut-side": ("run", "end1", "end2"), "cut-bottom": ("opening",)}.get(step, ()):
        if record.beam(spot.beam).piece(spot.piece).latest(what) is None:
            text = "5/32" if what.startswith("end") else "12' 3 1/4"
            reading = take.typed_reading(record, what, text, at, lean="in", level="24")
            # A run far from the rough length stands once it was read again.
            for _ in range(1 + (what == "run" and record.beam(spot.beam).rough is not None)):
                make(take.take(record, spot, what, reading))


TEXTS = st.text(
    st.characters(codec="utf-8", exclude_categories=["Cc", "Cf", "Zl", "Zp"]), max_size=12
)
READ = st.sampled_from(["12' 3 5/16", "147-5/16", "3738 mm", "5/32", "0", "147.3125"])


@pytest.fixture(scope="session")
def any_change() -> Callable[..., Change | None]:
    """Draws some change of a record at a time, as a user might make it; None where refused."""

    def draw_change(draw: Callable[..., object], record: Record, at: datetime) -> Change | None:
        act = draw(st.sampled_from(ACTS))
        try:
            return act(lambda values: draw(st.sampled_from(list(values))), draw, record, at)
        except CrewdeskError:
            return None

    return draw_change


def _spot(pick, record: Record) -> Spot:
    if not record.beams:
        raise NotAllowed("No beam.")
    beam = pick(record.beams)
    return Spot(beam.row, pick(beam.pieces))


def _step(pick, record: Record) -> str:
    return pick([step.id for stage in record.stages for step in stage.steps] or ["none"])


def _add_beam(pick, draw, record, at):
    return beams.add_beam(record, draw(TEXTS), draw(TEXTS), at, ends=(draw(TEXTS), draw(TEXTS)))


def _change_beam(pick, draw, record, at):
    fields = {"ends": (draw(TEXTS), "x"), "note": draw(TEXTS), "ceiling": "sloped"}
    field = pick(fields)
    return beams.change_beam(record, _spot(pick, record).beam, {field: fields[field]}, at)


def _take(pick, draw, record, at):
    spot = _spot(pick, record)
    what = pick(["run", "end1", "end2", "opening"])
    reading = take.typed_reading(
        record, what, draw(READ), at, lean=pick(["in", "out"]), level="24", who=draw(TEXTS)
    )
    return take.take(record, spot, what, reading)


WHY = {"reason": "no time left"}
ACTS = (
    _add_beam,
    _change_beam,
    _take,
    lambda pick, draw, rec, at: beams.remove_beam(rec, _spot(pick, rec).beam, at),
    lambda pick, draw, rec, at: beams.change_job(rec, {"notes": draw(TEXTS)}, at),
    lambda pick, draw, rec, at: beams.change_job(
        rec, {"section": Section(Fr(draw(st.integers(100, 200)), 16), Fr(9)), "step": "mm"}, at
    ),
    lambda pick, draw, rec, at: ticks.tick(
        rec, _spot(pick, rec), _step(pick, rec), at, override=pick([None, "no time left"])
    ),
    lambda pick, draw, rec, at: ticks.tick_all(
        rec, {_spot(pick, rec) for _ in range(3)}, pick(["rip-side", "rip-bottom", "ease"]), at
    ),
    lambda pick, draw, rec, at: ticks.set_aside(
        rec, _spot(pick, rec), _step(pick, rec), pick(["blocked", "skipped"]), "knot in it", at
    ),
    lambda pick, draw, rec, at: ticks.clear(rec, _spot(pick, rec), _step(pick, rec), at),
    lambda pick, draw, rec, at: clock.start(rec, pick(rec.stages).id, at),
    lambda pick, draw, rec, at: clock.stop(rec, at),
    lambda pick, draw, rec, at: (
        clock.mend(rec, pick(rec.entries or ["9"]).row, at, note=draw(TEXTS))
        if rec.entries
        else None
    ),
    lambda pick, draw, rec, at: restage.rename_step(rec, _step(pick, rec), draw(TEXTS), at),
    lambda pick, draw, rec, at: restage.add_step(
        rec, pick(rec.stages).id, draw(TEXTS), [pick(["side", "bottom", "cleats"])], at
    ),
    lambda pick, draw, rec, at: restage.move_stage(
        rec, pick(rec.stages).id, pick([-2, 1, 3]), at, **WHY
    ),
    lambda pick, draw, rec, at: restage.drop_step(rec, _step(pick, rec), at, **WHY),
    lambda pick, draw, rec, at: restage.drop_stage(rec, pick(rec.stages).id, at, **WHY),
)


@pytest.fixture(scope="session")
def copied() -> Callable[[Tables], Tables]:
    """A copy of tables that shares nothing with them, without tables that are empty."""
    from copy import deepcopy

    return lambda tables: {name: deepcopy(rows) for name, rows in tables.items() if rows}


@pytest.fixture
def told(desk: Desk, capsys: pytest.CaptureFixture[str]) -> Callable[..., tuple[int, str]]:
    """Runs a command on the data folder; gives its exit status and what it said."""
    from crewdesk.cli import main

    def run(*words: str) -> tuple[int, str]:
        status = main([*words, "--data", str(desk.folder)])
        said = capsys.readouterr()
        return status, said.out + said.err

    return run

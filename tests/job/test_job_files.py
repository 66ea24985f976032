"""What import takes opens everywhere; what it refuses says which field, in one sentence.

Examples that were once taken, and then crashed a page or were refused for good, stand by name.
"""

import tempfile
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from crewdesk.job.beams import beams
from crewdesk.job.change import Change, edit
from crewdesk.job.record import Record
from crewdesk.job.steps import ticks
from crewdesk.job.steps.ticks import Spot
from crewdesk.job.sync.contradictions import contradictions
from crewdesk.job.sync.exchange import from_document, to_document
from crewdesk.job.time import clock
from crewdesk.store.integrity import check
from tests.job.job_files import (
    WHEN,
    NearlySound,
    nearly_sound_jobs,
    places,
    sample_job,
    small_job,
    sound_jobs,
)
from tests.job.opened import (
    MAY_REFUSE,
    MUST_PRINT,
    open_in_commands,
    open_on_pages,
    print_all,
    taken,
    work_on,
)
from tests.sampled import sampled

MANY = settings(suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])
FEW = settings(MANY, max_examples=MANY.max_examples // 3)
"""Of jobs that are opened in commands each time."""
SOME = st.lists(st.sampled_from((*MUST_PRINT, *MAY_REFUSE[:3])), min_size=2, max_size=3)


def put(path: tuple[Any, ...], value: Any, document: dict[str, Any] | None = None) -> Any:
    """A job with one field changed; the sample job where none is given."""
    whole = sample_job() if document is None else document
    here: Any = whole
    for key in path[:-1]:
        here = here[key]
    here[path[-1]] = value
    return whole


BEAM = ("beams", "1")
SIDE = (*BEAM, "pieces", "A")
READ = {"value": "100", "when": WHEN.format(8, 0)}
ITSELF = {"sort": "done", "who": "piece", "step": "rip-side"}
STEP = ("job", "stages", 0, "steps", 0)


@pytest.mark.parametrize(
    ("path", "value", "told"),
    [
        (("entries", "1", "order"), "77", "Time entry 1 belongs to change order 77, which"),
        ((*BEAM, "section", "width"), "\u0668", "Beam 1: The width '٨' isn't an exact"),
        ((*BEAM, "section", "width"), "1_0", "Beam 1: The width '1_0' isn't an exact number"),
        ((*BEAM, "section", "width"), "1e1", "Beam 1: The width '1e1' isn't an exact number"),
        ((*BEAM, "rough"), "9" * 60, "Beam 1: The rough length"),
        (("job", "hour"), "\u0668\u0665.00", "The hourly rate '٨٥.00' isn't money"),
        (("materials", "1", "quantity"), "1_0", "Material 1: '1_0' isn't a quantity"),
        (("materials", "1", "quantity"), "\u0663", "Material 1: '٣' isn't a quantity"),
        (
            ("materials", "1", "waste"),
            "\u0663",
            "Material 1: The waste '\u0663' isn't a percentage",
        ),
        (("job", "zone"), "../../etc/passwd", "can't be a time zone's name"),
        (("job", "zone"), "America/../UTC", "can't be a time zone's name"),
        ((*STEP, "needs"), [ITSELF], "'Rip to width' can't need itself"),
        (("entries", "1", "stage"), "", "Time entry 1: A time entry needs a stage"),
        (("entries", "1", "stage"), "\u200b", "Time entry 1: A time entry needs a stage"),
        ((*BEAM, "low"), 7, "Beam 1: The low end of a sloped beam must be 1 or 2, not 7"),
        ((*BEAM, "low"), "2", "Beam 1: The low end of a sloped beam must be 1 or 2, not '2'"),
        ((*BEAM, "low"), True, "Beam 1: The low end of a sloped beam must be 1 or 2, not True"),
        ((*BEAM, "name"), "\u200b", "Beam 1: A beam needs a name"),
        ((*BEAM, "room"), "\u2060\ufeff \u00ad", "Beam 1: A room needs a name"),
        (("job", "name"), "\u3164", "A job needs a name"),
        (("orders", "1", "text"), "\u200b", "Change order 1: Type what the change order is for"),
        ((*BEAM, "pieces", "top"), {}, "Beam 1: The pieces of Great room 1, two sides, bottom"),
        ((*BEAM, "pieces", "C"), {}, "Beam 1, pieces: A beam has no piece 'C'"),
        ((*BEAM, "drop"), "-1", "Beam 1: The 'drop' of a beam can't be '-1'"),
        ((*BEAM, "height_b"), "0", "Beam 1: The 'height_b' of a beam can't be '0'"),
        ((*SIDE, "readings", "run"), [7], "Beam 1 in this file, side A, reading 'run' isn't"),
        ((*SIDE, "readings", "run"), [{**READ, "to": "0"}], "'s step must be more than 0"),
        ((*SIDE, "steps", "tape"), {"state": "done"}, "Beam 1 in this file, side A, step 'tape'"),
        ((*SIDE, "steps", "cut-side", "cut", "section"), {}, "Beam 1, side A, step 'cut-side'"),
        (
            (*SIDE, "steps", "cut-side", "cut", "settings", "pitch"),
            "abc",
            "Beam 1, side A, step 'cut-side': abc isn't a pitch",
        ),
        (
            (*SIDE, "steps", "cut-side", "cut", "settings", "form"),
            "cube",
            "Beam 1, side A, step 'cut-side': A beam type can't be 'cube'. It can be",
        ),
        (
            (*SIDE, "steps", "cut-side", "cut", "settings", "cleat"),
            "x",
            "Beam 1, side A, step 'cut-side': The cleat 'x' isn't an exact number",
        ),
        (
            (*SIDE, "steps", "cut-side", "cut", "settings", "own_cut"),
            "flat",
            "Beam 1, side A, step 'cut-side': A cut length of your own isn't written as",
        ),
        (
            (*SIDE, "steps", "cut-side", "cut", "settings", "own_cut"),
            {"edge_a": "100"},
            "Beam 1, side A, step 'cut-side': A cut length of your own has no edge_b",
        ),
        (("job", "read_to"), {"laser": "0"}, "The laser's step must be more than 0"),
        (("job", "read_to"), {"eye": "1/8"}, "There is no instrument 'eye'"),
        (("job", "read_to"), [], "The instruments' steps in this file are damaged: []"),
        (("job", "stages", 1, "steps", 0), None, "stages, stage 2, step 1 isn't"),
        (("job",), None, "That job's file is damaged: its 'job' is None"),
    ],
)
def test_what_can_t_come_in_is_refused_by_its_field(path: Any, value: Any, told: str) -> None:
    said = taken(put(path, value))
    assert said is not None
    assert told in said


def test_a_step_that_needs_itself_is_refused_with_a_history_too() -> None:
    document = {**put((*STEP, "needs"), [ITSELF]), "schema": 1}
    assert "can't need itself" in str(taken(document))


@pytest.mark.parametrize("document", [sample_job(), small_job()])
def test_pieces_that_were_left_out_come_in_empty(document: Any, tmp_path: Path) -> None:
    """A kept plan cuts boards for them, so they must be there."""
    document["beams"]["1"]["pieces"] = {}
    tables, _ = from_document(document)
    assert list(Record(tables).beam("1").pieces) == ["A", "B", "bottom", "cleats"]
    open_in_commands(document, tmp_path)


async def test_an_entry_on_a_stage_that_is_gone_opens_and_can_be_mended(tmp_path: Path) -> None:
    document = put(("entries", "1", "stage"), "gone", small_job())
    document["entries"]["2"] = {"start": "2026-03-20T15:00:00-06:00", "stage": "gone"}
    desk = open_in_commands(document, tmp_path)
    await open_on_pages(desk, keys=("h", "f2", "k", "$"))
    record = desk.open(desk.ids()[0], writing=False).record
    at = datetime.fromisoformat("2026-03-20T16:40:00-06:00")
    record.make(clock.mend(record, "1", at, note="stain"))
    record.make(clock.mend(record, "1", at, end=record.entry("1").start + timedelta(hours=1)))
    assert (record.entry("1").note, record.entry("1").stage) == ("stain", "gone")
    record.make(clock.mend(record, "1", at, stage="tack"))


@pytest.mark.parametrize(
    ("start", "stop"),
    [
        (WHEN.format(9, 0), WHEN.format(9, 0)),
        ("2199-01-01T09:00:00-07:00", "2199-01-01T10:00:00-07:00"),
        (WHEN.format(9, 0), "2026-04-02T09:00:00-07:00"),
    ],
)
def test_times_that_no_new_entry_could_have_stay_where_the_rest_is_mended(
    refusing, start: str, stop: str, now
) -> None:
    document = small_job()
    document["entries"]["1"] |= {"start": start, "stop": stop}
    record = Record(from_document(document)[0])
    record.make(clock.mend(record, "1", now, note="stain"))
    assert record.entry("1").note == "stain"
    later = record.entry("1").start + timedelta(days=300 * 365)
    refusing(clock.mend, record, "1", now, end=min(later, datetime.max.replace(tzinfo=UTC)))


def test_an_entry_can_t_be_put_on_a_stage_that_is_not_there(refusing, record, now) -> None:
    record.make(clock.add(record, "rip", now - timedelta(hours=1), now, now))
    assert "no stage gone" in refusing(clock.mend, record, "1", now, stage="gone")


@pytest.mark.parametrize(
    ("at", "value", "told"),
    [
        (("beams", "1", "low"), 7, "1 or 2, not 7"),
        (("beams", "1", "name"), "\u200b", "needs a name"),
        (("beams", "1", "section", "width"), "\u0668", "isn't an exact number"),
        (("beams", "1", "pieces", "top"), {}, "The pieces of Great room Ridge"),
        (("job", "1", "zone"), "../../etc/passwd", "can't be a time zone's name"),
        (("job", "1", "read_to"), {"laser": "2"}, "up to 1 in"),
    ],
)
def test_changes_go_by_the_same_rules(
    refusing, record, now, at: Any, value: Any, told: str
) -> None:
    change = Change("tried", (edit(record.tables, at, value),), now)
    assert told in refusing(record.make, change)


def test_what_an_older_version_took_can_be_worked_on_and_mended(refusing, record, now) -> None:
    record.tables["beams"]["1"]["low"] = 7
    record.tables["job"]["1"]["zone"] = "Mountain Time"
    record.check_all()
    record.make(ticks.tick(record, Spot("1", "A"), "rip-side", now))
    record.make(beams.change_job(record, {"customer": "Ada"}, now))
    record.make(beams.change_job(record, {"zone": "America/Denver"}, now))
    record.make(beams.change_beam(record, "1", {"low": 2}, now))
    assert "not 8" in refusing(record.make, beams.change_beam(record, "1", {"low": 8}, now))


def test_a_sign_that_shows_is_enough_for_a_name(record, now) -> None:
    for name in ("\u200bx", "\u6728", "\U0001f468\u200d\U0001f469", "\u0645", "e\u0301", "\u2212"):
        record.make(beams.change_beam(record, "1", {"name": name}, now))


# What older versions took stands in data folders, and opens


NOT_TAKEN_TODAY = [
    (("entries", "1", "order"), "77"),
    ((*BEAM, "section", "width"), "\u0668"),
    ((*BEAM, "section", "width"), "1_0"),
    (("job", "hour"), "\u0668\u0665.00"),
    (("materials", "1", "quantity"), "\u0663"),
    (("materials", "1", "waste"), "\u0663"),
    (("job", "zone"), "../../etc/passwd"),
    (("entries", "1", "stage"), "\u200b"),
    ((*BEAM, "low"), 7),
    ((*BEAM, "name"), "\u200b"),
    (("job", "name"), "\u3164"),
    ((*BEAM, "pieces", "top"), {}),
    ((*BEAM, "drop"), "-1"),
    ((*SIDE, "steps", "cut-side", "cut", "settings", "own_cut"), "flat"),
    (("job", "read_to"), {"laser": "0"}),
    (("job", "read_to"), {"eye": "1/8"}),
    (("job", "read_to"), []),
]


@pytest.mark.parametrize(("path", "value"), NOT_TAKEN_TODAY)
def test_what_a_folder_holds_is_read_and_check_lists_it(
    path: Any, value: Any, tmp_path: Path
) -> None:
    document = put(path, value)
    assert taken(document) is not None
    assert taken(document, kept=True) is None
    desk = open_in_commands(document, tmp_path, (), kept=True)
    assert work_on(document, kept=True) > 3
    listed = contradictions(desk.open(desk.ids()[0], writing=False).record)
    assert taken(document) in listed
    assert {one.sound for one in check(desk)} == {True}
    assert taken(desk.give_out(desk.ids()[0]), kept=True) is None


@pytest.mark.parametrize(
    ("first", "keys"),
    [
        (True, ("enter", "c", "h", "$", "t", "m", "n", "b")),
        pytest.param(True, (), marks=pytest.mark.slow),
        (False, ("enter", "i", "e")),
        pytest.param(False, ("c", "a", "m", "p"), marks=pytest.mark.slow),
    ],
)
async def test_what_a_folder_holds_opens_in_every_command_and_on_every_page(
    first: bool, keys: tuple[str, ...], tmp_path: Path
) -> None:
    """All that is odd at once; of what stands in one place the first, or the last, which is
    the width of a section or what instruments are read to: the pages that show these."""
    rows = [*NOT_TAKEN_TODAY[:: -1 if first else 1]]
    document = sample_job()
    for path, value in rows:
        document = put(path, value, document)
    await open_on_pages(open_in_commands(document, tmp_path, kept=True), keys=keys)


@pytest.mark.parametrize(
    "left", [(), pytest.param(("A",), marks=pytest.mark.slow), ("B", "bottom", "cleats")]
)
async def test_a_beam_without_its_pieces_and_with_a_kept_plan_opens_in_a_folder(
    left: tuple[str, ...], tmp_path: Path, now
) -> None:
    desk = open_in_commands(sample_job(), tmp_path, (), kept=True)
    job = desk.open(desk.ids()[0])
    pieces = job.record.tables["beams"]["1"]["pieces"]
    fewer = edit(job.record.tables, (*BEAM, "pieces"), {key: pieces[key] for key in left})
    job.make(Change("as an older version imported it", (fewer,), now), sound=False)
    assert any(
        "are side A, side B, bottom, cleats, but it lacks" in one
        for one in contradictions(job.record)
    )
    job.close(now)
    print_all(desk)
    if not left:
        await open_on_pages(desk, keys=("enter", "c", "w", "n", "u", "e", "h", "$", "k", "m", "p"))


def test_undoing_brings_back_what_an_older_version_took(tmp_path: Path, now) -> None:
    desk = open_in_commands(put((*BEAM, "low"), 7), tmp_path, (), kept=True)
    job = desk.open(desk.ids()[0])
    later = now + timedelta(hours=1)
    job.make(beams.change_job(job.record, {"notes": "as it came"}, now))
    job.make(beams.change_beam(job.record, "1", {"low": 2}, later))
    job.make(beams.change_beam(job.record, "1", {"note": "mended"}, later))
    job.undo(now)
    job.undo(now)
    assert job.record.tables["beams"]["1"]["low"] == 7
    assert job.redo(now).what == "changed beam Great room 1"
    job.close(later)
    desk.go_back(job.id, now, later + timedelta(hours=1))
    assert desk.open(job.id, writing=False).record.tables["beams"]["1"]["low"] == 7


@pytest.mark.parametrize("zone", ["localtime", "posix/America/Denver", "right/UTC", "Factory"])
def test_a_zone_that_an_older_version_let_be_typed_comes_in(zone: str) -> None:
    assert taken(put(("job", "zone"), zone)) is None


@pytest.mark.parametrize(
    ("name", "reading"),
    sampled(
        [
            ("run", {**READ, "value": "-1"}),
            ("end1", {**READ, "value": "20", "lean": "in", "level": "24"}),
            ("end1", READ),
            ("end1", {**READ, "lean": "in", "level": "0"}),
        ],
        2,
    ),
)
async def test_a_reading_that_is_not_believed_comes_in_and_opens(
    name: str, reading: Any, tmp_path: Path
) -> None:
    document = put((*SIDE, "readings", name), [reading])
    assert taken(document) is None
    work_on(document)
    await open_on_pages(open_in_commands(document, tmp_path), keys=("enter",))


@FEW
@given(nearly=nearly_sound_jobs(), commands=SOME)
def test_jobs_with_one_thing_off_open_where_a_folder_holds_them(
    nearly: NearlySound, commands: list[str]
) -> None:
    assume(taken(nearly.document) is not None)
    if taken(nearly.document, kept=True) is None:
        work_on(nearly.document, kept=True)
        with tempfile.TemporaryDirectory() as folder:
            open_in_commands(nearly.document, Path(folder), commands, kept=True)


# Whole job files, sound and with one thing off


@FEW
@given(document=sound_jobs(), commands=SOME)
def test_sound_jobs_are_taken_and_open(document: Any, commands: list[str]) -> None:
    assert taken(document) is None
    tables, history = from_document(document)
    assert from_document(to_document(tables, history))[0] == tables
    work_on(document)
    with tempfile.TemporaryDirectory() as folder:
        open_in_commands(document, Path(folder), commands)


@MANY
@given(nearly=nearly_sound_jobs(), commands=SOME)
def test_jobs_with_one_thing_off_are_refused_or_open(
    nearly: NearlySound, commands: list[str]
) -> None:
    if taken(nearly.document) is None:
        work_on(nearly.document)
        with tempfile.TemporaryDirectory() as folder:
            open_in_commands(nearly.document, Path(folder), commands)


@pytest.mark.parametrize("keys", [("enter", "h", "$"), ("t", "m", "c", "n")])
async def test_a_job_with_a_row_of_each_table_opens_on_its_pages(
    tmp_path: Path, keys: tuple[str, ...]
) -> None:
    desk = open_in_commands(small_job(), tmp_path, ())
    assert await open_on_pages(desk, keys=keys) == len(keys)


def test_the_strategy_reaches_every_table_and_both_answers() -> None:
    kinds = {path[0] for path, _ in places(sample_job())}
    assert {"job", "beams", "entries", "materials", "orders", "accepted", "boards"} <= kinds
    answers: dict[str, set[bool]] = {}

    @settings(MANY, max_examples=60, database=None, derandomize=True)
    @given(nearly=nearly_sound_jobs())
    def look(nearly: NearlySound) -> None:
        answers.setdefault(nearly.what, set()).add(taken(nearly.document) is None)

    look()
    assert len(answers) >= 7
    assert set().union(*answers.values()) == {True, False}


def test_a_kept_cut_with_a_section_that_says_nothing_opens_in_a_folder() -> None:
    """The boards as cut follow a kept cut's section; a file of somebody's may have spoiled it."""
    document = sample_job()
    document.pop("history", None)
    for beam in document["beams"].values():
        for piece in beam["pieces"].values():
            for mark in piece["steps"].values():
                if "cut" in mark:
                    mark["cut"]["section"]["width"] = "\u200b"
    assert taken(document) is not None
    with tempfile.TemporaryDirectory() as folder:
        open_in_commands(document, Path(folder), ["cutlist JOB", "dryfit JOB"], kept=True)

"""`crewdesk held`, and what the other commands say of cuts whose figures changed."""

import json
import shutil
from contextlib import redirect_stdout
from datetime import timedelta
from fractions import Fraction
from io import StringIO
from pathlib import Path

import pytest

from crewdesk.cli import main
from crewdesk.job.beams import beams, take
from crewdesk.job.beams.piece import Spot
from crewdesk.job.cuts.open_cuts import none_waits, open_cuts
from crewdesk.job.steps import ticks
from crewdesk.paper.job_document import document_text
from crewdesk.store.desk import Desk
from tests.conftest import AT_THE_DOOR, BEAMS, NOW, SECTION

OLD = Path(__file__).parent / "store" / "old_exports" / "schema-1.json"
SAMPLE = Path(__file__).parent.parent / "sample_data"
A = Spot("1", "A")
ALL_AS_EVER = "Every cut that is checked off matches today's readings.\n"


HILL = "hill-house"


@pytest.fixture(scope="session")
def held_data(tmp_path_factory, walk):
    """A data folder to copy: both beams' sides cut to 147 1/4 in yesterday; then Ridge side A is
    read again twice."""
    desk = Desk(tmp_path_factory.mktemp("held") / "data")
    job = desk.open(desk.create(beams.new_job("Hill house", SECTION, NOW, customer="Ada Quill")))
    for name, room, ends in BEAMS:
        job.make(beams.add_beam(job.record, name, room, NOW, ends=ends))
    at = AT_THE_DOOR - timedelta(days=1)
    walk(job.record, job.make, "back-bevel", at)
    at += timedelta(hours=2)
    for minute in range(2):
        when = at + timedelta(minutes=minute)
        typed = take.typed_reading(job.record, "run", "147 5/8", when)
        job.make(take.take(job.record, A, "run", typed))
    job.close(at)
    assert job.id == HILL
    return desk.folder


@pytest.fixture
def hill(desk, held_data):
    """The job of `held_data`."""
    shutil.copytree(held_data, desk.folder, dirs_exist_ok=True)
    return HILL


def record(desk, id_):
    return desk.open(id_, writing=False).record


def test_it_lists_what_waits_and_how_to_answer(hill, told) -> None:
    status, out = told("held", "hill")
    assert status == 0
    assert out == (
        "Great room Ridge side A was cut to 147 1/4 in; its readings now make 147 5/8 in "
        "(3/8 in too short). 'Back-bevel the end that slides in' is held.\n"
        "  crewdesk held hill-house 'Great room Ridge' A cut-side --keep REASON | --again | "
        "--back\n"
        "  It is too short for today's figures, so only a new board helps. (--again --new-board)\n"
    )
    values = json.loads(told("held", "hill", "--json")[1])
    (one,) = values["held"]
    assert (one["beam"], one["piece"], one["step"], one["causes"]) == (
        "Ridge", "A", "cut-side", ["readings"],
    )  # fmt: skip
    assert one["figures"][0]["was"] == {"exact": "589/4", "shown": "147 1/4"}
    assert one["figures"][0]["now"] == {"exact": "1181/8", "shown": "147 5/8"}
    assert values["kept"] == []
    assert told("held", "hill", "Cross")[1] == ALL_AS_EVER


def test_a_small_difference_is_listed_as_what_it_is(desk, job, walk, door_clock, told) -> None:
    at = door_clock.at - timedelta(days=1)
    walk(job.record, job.make, "back-bevel", at)
    typed = take.typed_reading(job.record, "run", "147 9/32", at + timedelta(hours=2))
    job.make(take.take(job.record, A, "run", typed))
    job.close(at)
    assert told("held", "hill")[1] == (
        "No cut needs an answer.\n"
        "Different by no more than a cut can be off, so nothing is held:\n"
        "  Great room Ridge side A was cut to 147 1/4 in; its readings now make 147 9/32 in "
        "(1/32 in too short). No more than it can be off.\n"
    )
    values = json.loads(told("held", "hill", "--json")[1])
    assert [one["piece"] for one in values["slightly_off"]] == ["A"]
    assert (values["held"], values["kept"], values["not_compared"]) == ([], [], [])


def test_a_cut_that_cannot_be_compared_is_not_said_to_be_as_ever(desk, job, now, told) -> None:
    for step in ("rip-side", "ease", "sand", "cleat-line", "tape", "scrape"):
        job.make(ticks.tick(job.record, A, step, now))
    job.make(ticks.tick(job.record, A, "cut-side", now, override="cut to a story pole"))
    job.close(now)
    assert told("held", "hill")[1] == (
        "Every other cut that is checked off matches today's readings.\n"
        "Not compared with today's readings:\n"
        "  Great room Ridge side A, 'Cut to length': checked off before its readings made any "
        "figures\n"
    )


def test_of_cuts_that_kept_no_figures_no_other_one_is_spoken(desk, job, now, walk, told) -> None:
    """As an export has it whose history and kept figures were taken out."""
    walk(job.record, job.make, "cut-side", now - timedelta(days=1))
    job.close(now)
    whole = json.loads(told("export", "hill")[1])
    whole.pop("history")
    for beam in whole["beams"].values():
        for piece in beam["pieces"].values():
            for mark in piece.get("steps", {}).values():
                mark.pop("cut", None)
    other = desk.folder / "other.json"
    other.write_text(json.dumps(whole))
    told("import", str(other))
    out = told("held", "hill-house-2")[1]
    assert out.startswith("Not compared with today's readings:\n")
    assert "matches today's readings" not in out
    assert "in full" in none_waits(desk.open("hill-house-2", writing=False).record)


def test_each_answer_is_given_by_its_words(hill, desk, told) -> None:
    status, out = told("held", "hill", "Ridge", "side A", "--again")
    assert status == 0
    assert "Saved: opened 'Cut to length' on Great room Ridge side A again" in out
    assert ". It is too short for today's figures" in out
    assert "It is too short for today's figures, so only a new board helps. If the board" in out
    assert not open_cuts(record(desk, hill))
    assert "cut-side" not in record(desk, hill).beam("1").piece("A").steps
    status, out = told("undo", "hill")
    assert "side A was cut to 147 1/4 in; its readings now make 147 5/8 in" in out
    assert "`crewdesk held hill-house` lists the cuts" in out
    assert told("held", "hill", "Ridge", "A", "--keep", "packed out")[0] == 0
    assert "Kept as cut: packed out" in told("held", "hill")[1]
    assert "Kept as cut: packed out" in told("cutlist", "hill")[1]
    told("undo", "hill")
    assert told("held", "hill", "Ridge", "A", "cut-side", "--back")[0] == 0
    assert told("held", "hill")[1] == ALL_AS_EVER


def test_what_makes_no_answer_is_refused(hill, told) -> None:
    for words, why in (
        (("--keep", "x"), "Name the beam and the piece"),
        (("Ridge", "A", "--keep", "x", "--again"), "Give one answer"),
        (("Ridge", "A", "--new-board"), "Give one answer"),
        (("Ridge", "Z", "--again"), "isn't a piece of a beam"),
        (("Ridge", "B", "--again"), "Name the step. Those to answer there: none"),
        (("Ridge", "A", "rip-side", "--again"), "needs no answer"),
        (("Ridge", "A", "--keep", " "), "Give a reason"),
        (("Attic", "A", "--again"), "There is no beam Attic"),
    ):
        status, out = told("held", "hill", *words)
        assert (status, why in out) == (2, True), (words, out)


def test_progress_says_what_is_held(hill, told) -> None:
    out = told("progress", "hill")[1]
    assert "Held until answered\n  Great room Ridge side A was cut to 147 1/4 in" in out


def test_a_cutting_rule_says_at_once_what_it_does_to_cleats(desk, job, now, told) -> None:
    job.make(ticks.tick(job.record, Spot("1", "cleats"), "rip-cleats", now))
    for row in ("1", "2"):
        job.make(beams.change_beam(job.record, row, {"rough": Fraction(150)}, now))
    job.close(now)
    sentence = "cleats were ripped to 3/4 in wide; their cleat rule now makes 1 in"
    status, out = told("takeoff", "hill", "cleat=1")  # there is no stock list to plan with
    assert (status, sentence in out) == (2, True)
    told("undo", "hill")
    told("stock", "--take", str(SAMPLE / "stock.json"))
    status, out = told("takeoff", "hill", "cleat=1", "species=White oak")
    assert (status, sentence in out) == (0, True), out
    told("undo", "hill")
    values = json.loads(told("takeoff", "hill", "cleat=1", "species=White oak", "--json")[1])
    assert sentence in values["cuts_changed"]


def test_import_and_check_list_what_does_not_fit(desk, told) -> None:
    status, out = told("import", str(OLD))
    assert status == 0
    assert "1 thing in it doesn't fit together:\n  Great room Ridge side A was cut to" in out
    status, out = told("check")
    assert status == 0
    assert "note     Great room Ridge side A was cut to 192 5/16 in" in out
    files = json.loads(told("check", "--json")[1])["files"]
    assert [len(one["notes"]) for one in files if one["notes"]] == [1]


def test_every_kind_of_contradiction_is_listed(desk, job, now, told, tmp_path) -> None:
    """Done with nothing read, the bottom before its sides, scribed before its partner."""
    job.close(now)
    document = desk.give_out(job.id)
    pieces = document["beams"]["1"]["pieces"]
    done = {"state": "done", "when": now.isoformat()}
    earlier = ("rip-side", "ease", "sand", "cleat-line", "tape", "scrape")
    pieces["A"]["steps"] = dict.fromkeys((*earlier, "cut-side"), done)
    pieces["B"]["steps"] = dict.fromkeys(
        (*earlier, "cut-side", "back-bevel", "tack", "level", "scribe"), done
    )
    pieces["bottom"]["steps"] = dict.fromkeys(("rip-bottom", "sand", "cut-bottom"), done)
    file = tmp_path / "job.json"
    file.write_text(document_text({**document, "history": []}))
    out = told("import", str(file))[1]
    assert "'Cut to length' on Great room Ridge side A was done too early" in out
    assert "hasn't been measured" in out
    assert "'Scribe, one setting for the beam' on Great room Ridge side B was done too early" in out
    assert "'Cut to length, both ends to fit' on Great room Ridge bottom was done too early" in out
    assert "things in it don't fit together:" in out
    assert told("check")[0] == 0


def test_going_back_to_a_time_lists_them_too(hill, desk, told, door_clock) -> None:
    job = desk.open(hill)
    at = door_clock.at
    job.make(beams.change_job(job.record, {"notes": "later"}, at))
    job.close(at)
    status, out = told(
        "restore", "hill", "--to", (at - timedelta(hours=12)).strftime("%Y-%m-%d %H:%M")
    )
    assert status == 0, out
    assert "1 thing in it doesn't fit together" in out


# What another machine changed, and a sync left beside the job.

HELD = (
    "Great room Ridge side B was cut to 147 1/4 in; its readings now make 148 in "
    "(3/4 in too short). 'Back-bevel the end that slides in' is held."
)


@pytest.fixture(scope="session")
def synced_data(held_data, tmp_path_factory):
    """A data folder to copy: Ridge side A's cut was answered for here, and B was read again twice
    on another laptop: its history lies here as a conflict copy."""
    folder = tmp_path_factory.mktemp("synced")
    here, there = (shutil.copytree(held_data, folder / name) for name in ("here", "there"))
    desk, other = Desk(here), Desk(there, "there")
    with redirect_stdout(StringIO()):
        words = ("held", "hill", "Ridge", "A", "--keep", "packed out")
        assert main([*words, "--data", str(here)]) == 0
    job = other.open(HILL)
    for minute in range(2):
        when = AT_THE_DOOR + timedelta(minutes=minute)
        typed = take.typed_reading(job.record, "run", "148", when)
        job.make(take.take(job.record, Spot("1", "B"), "run", typed))
    job.close(AT_THE_DOOR)
    stray = desk.path(HILL).with_name("there.history")
    shutil.copy(other.path(HILL).with_suffix(".history"), stray)
    return here


@pytest.fixture
def left_by_a_sync(hill, desk, synced_data):
    """The job of `synced_data`."""
    shutil.rmtree(desk.folder)
    shutil.copytree(synced_data, desk.folder)


CHANGES = ("--again", "2026-04-01")


@pytest.mark.parametrize(
    "words",
    [
        ("held", "hill"),
        ("held", "hill", "Ridge", "A", "--again"),
        ("settle", "hill"),
        ("planned", "hill", "2026-04-01"),
        ("progress", "hill"),
        ("cutlist", "hill"),
        ("beams", "hill", "Hall: 1 beam 8' 8x10"),
        ("undo", "hill"),
        ("takeoff", "hill", "kerf=1/8"),
        ("export", "hill"),
        *(
            pytest.param(words, marks=pytest.mark.slow)
            for words in (
                ("planned", "hill"),
                ("materials", "hill"),
                ("hours", "hill"),
                ("estimate", "hill"),
                ("progress", "hill", "--json"),
            )
        ),
    ],
)
def test_every_command_says_what_a_conflict_copy_does_to_cuts(
    left_by_a_sync, desk, hill, told, words
) -> None:
    reads = words[0] not in ("beams", "undo", "takeoff") and words[-1] not in CHANGES
    own = desk.path(hill).with_suffix(".history")
    before = own.read_bytes()
    _, out = told(*words)
    assert "hill-house: 2 changes made on another computer, the last: " in out
    assert HELD in out
    assert "`crewdesk held hill-house` lists the cuts" in out
    assert ("and merged at the next save" in out) == reads
    # One that only reads writes nothing, and says it again; a change takes the copy in.
    assert (own.read_bytes() == before) == reads
    assert ("made on another computer" in told(*words)[1]) == reads
    if words[0] != "undo":
        told("planned", "hill", "2026-04-02")
        assert "made on another computer" not in told("progress", "hill")[1]
        assert HELD in told("held", "hill")[1]


def test_what_a_copy_does_is_said_beside_what_a_program_reads(left_by_a_sync, desk, capsys) -> None:
    main(["progress", "hill", "--json", "--data", str(desk.folder)])
    said = capsys.readouterr()
    assert json.loads(said.out)["job"]["id"] == "hill-house"
    assert HELD in said.err


def test_a_refused_command_says_it_too(left_by_a_sync, told) -> None:
    status, out = told("held", "hill", "Ridge", "A", "--keep", " ")
    assert status == 2
    assert HELD in out


def test_check_says_what_another_machine_did_and_writes_nothing(left_by_a_sync, desk, hill, told):
    before = desk.path(hill).with_suffix(".history").read_bytes()
    status, out = told("check")
    assert status == 0
    assert f"note     {HELD}" in out
    assert desk.path(hill).with_suffix(".history").read_bytes() == before


def test_a_copy_that_changes_the_same_is_said_to_be_kept_apart(
    hill, desk, told, tmp_path, door_clock
) -> None:
    other = Desk(shutil.copytree(desk.folder, tmp_path / "other"), "there")
    for one, length in ((desk, "147 5/8"), (other, "147 1/2")):
        job = one.open(hill)
        typed = take.typed_reading(job.record, "run", length, door_clock.at)
        job.make(take.take(job.record, A, "run", typed))
        job.close(door_clock.at)
    shutil.copy(other.path(hill).with_suffix(".history"), desk.path(hill).parent)
    assert "1 changed in two places" in told("check")[1]
    out = told("planned", "hill")[1]
    assert "Changed in two places: measured wall-to-wall length along the bottom line" in out
    assert "`crewdesk settle hill-house` lists them." in out


def test_a_change_says_what_another_program_saved_meanwhile(hill, desk, door_clock) -> None:
    mine, other = desk.open(hill), desk.open(hill)
    desk.arrived.clear()
    for minute in range(2):
        when = door_clock.at + timedelta(minutes=minute)
        typed = take.typed_reading(other.record, "run", "148", when)
        other.make(take.take(other.record, Spot("1", "B"), "run", typed))
    mine.make(beams.change_job(mine.record, {"notes": "x"}, door_clock.at))
    ((id_, came),) = desk.arrived
    assert (id_, came.apart) == (hill, "")
    assert came.cuts == HELD
    for one in (mine, other):
        one.close(door_clock.at)


def test_import_says_which_step_is_held(told, tmp_path) -> None:
    out = told("import", str(OLD))[1]
    assert "its readings now make 192 11/16 in (3/8 in too short)" in out
    assert "is held." in out

"""How each side is cut to its scribe line: by the board, for every board, or chosen for one."""

import json
from fractions import Fraction as Fr
from io import BytesIO

import pytest
from pypdf import PdfReader

from crewdesk.cli import main
from crewdesk.errors import BadInput, NotAllowed
from crewdesk.job.beams import beams, take
from crewdesk.job.beams.chosen_cuts import own_scribe_cut
from crewdesk.job.beams.piece import Spot
from crewdesk.job.cuts.batches import batch_settings
from crewdesk.job.cuts.scribing import read_ceiling, scribe_of, typed_stations
from crewdesk.job.steps.ticks import tick
from crewdesk.paper.sheets.parts import Printing, printed
from crewdesk.paper.text.cutlist import cut_list
from crewdesk.paper.text.notes import gap_at, scribe_lines, station_rows
from crewdesk.paper.text.settings_text import notes_told
from crewdesk.trade.cuts.shop_machine import USUAL_MACHINE, Crew, ShopMachine

A, B = Spot("1", "A"), Spot("1", "B")
BENT = (("0", "14", "14"), ("60", "14-1/2", "14-1/4"), ("120", "14-1/4", "14-3/4"))


@pytest.fixture
def bent(record, now):
    """A beam of 120 in under a ceiling that bends over both sides."""
    run = take.typed_reading(record, "run", "120", now)
    record.make(take.take(record, A, "run", run))
    record.make(read_ceiling(record, "1", typed_stations(record, BENT), now))
    return record


def scribe_cuts(record, machine=USUAL_MACHINE):
    pieces = cut_list("hill", record, machine=machine).values["beams"][0]["pieces"]
    return {one["piece"]: one["scribe_cut"] for one in pieces if "scribe_cut" in one}


def test_the_board_and_its_ceiling_choose_and_say_why(bent) -> None:
    why = "the ceiling bends the line by more than 1/32 in"
    told = {"way": "circular saw", "chosen": "rule", "why": why}
    assert scribe_cuts(bent) == {"A": told, "B": told}
    lines = cut_list("hill", bent).lines
    assert sum(f"cut to the scribe line: circular saw ({why})" in one for one in lines) == 2
    [group] = batch_settings(bent, "cut-scribe", (A, B)).groups
    assert f"Why this way: {why}." in notes_told(group)


def test_nothing_is_said_before_the_ceiling_is_measured(record) -> None:
    assert scribe_cuts(record) == {"A": None, "B": None}
    [group] = batch_settings(record, "cut-scribe", (A, B)).groups
    assert group.reasons == ("Why this way: the ceiling is not measured, so the line may bend.",)


def test_a_choice_for_one_board_goes_before_the_shops_and_the_rule(bent, now) -> None:
    bent.make(own_scribe_cut(bent, A, "Plane", "over the cabinets", now))
    shop = ShopMachine(scribe_cut="track saw")
    assert scribe_cuts(bent, shop) == {
        "A": {
            "way": "plane",
            "chosen": "board",
            "why": "chosen for this board: over the cabinets",
        },
        "B": {
            "way": "track saw",
            "chosen": "every board",
            "why": "chosen for every board in Business settings",
        },
    }
    groups = batch_settings(bent, "cut-scribe", (A, B), shop).groups
    assert [(one.machine, one.spots) for one in groups] == [("plane", (A,)), ("track saw", (B,))]
    assert notes_told(groups[0])[-1].startswith("! Clamp the board at two points")
    assert notes_told(groups[1])[-1].startswith("! Clamp the rail")
    bent.make(own_scribe_cut(bent, A, "by the board", "", now))
    assert bent.beam("1").piece("A").scribe_cut is None


def test_the_printed_cut_list_says_so(bent, now) -> None:
    bent.make(own_scribe_cut(bent, A, "plane", "over the cabinets", now))
    data, _ = printed(bent, Printing(now.date(), parts=("cuts",)), now)
    text = " ".join(page.extract_text() for page in PdfReader(BytesIO(data)).pages)
    text = " ".join(text.split())
    assert "cut to the scribe line: plane (chosen for this board: over the cabinets)" in text
    assert "cut to the scribe line: circular saw (the ceiling bends the line" in text


def test_boards_of_one_cut_are_one_group_whatever_the_reason(bent, now) -> None:
    bent.make(own_scribe_cut(bent, A, "circular", "", now))
    [group] = batch_settings(bent, "cut-scribe", (A, B)).groups
    assert group.spots == (A, B)
    assert group.reasons == (
        "Great room Ridge side A: chosen for this board.",
        "Great room Ridge side B: the ceiling bends the line by more than 1/32 in.",
    )


def test_only_sides_that_are_scribed_take_a_choice(record, now) -> None:
    record.make(beams.add_beam(record, "box", "Hall", now, form="box"))
    for spot in (Spot("1", "bottom"), Spot("1", "cleats"), Spot("3", "A")):
        with pytest.raises(NotAllowed, match="isn't cut to a scribe line"):
            own_scribe_cut(record, spot, "plane", "", now)
    with pytest.raises(BadInput, match="isn't a way to cut"):
        own_scribe_cut(record, A, "router", "", now)
    with pytest.raises(NotAllowed, match="Nothing was chosen"):
        own_scribe_cut(record, A, "", "", now)


def test_a_damaged_choice_is_refused_and_an_older_record_has_none(record) -> None:
    doc = record.tables["beams"]["1"]
    assert record.read_beam("1", doc).piece("A").scribe_cut is None
    for bad in ({"way": "axe", "when": "2026-03-02T07:30:00-05:00"}, "plane", ["plane"]):
        pieces = {**doc["pieces"], "A": {**doc["pieces"]["A"], "scribe_cut": bad}}
        with pytest.raises(NotAllowed, match=r"must be|isn't written as"):
            record.read_beam("1", {**doc, "pieces": pieces})


def test_the_command_lists_and_chooses(desk, job, now, capsys) -> None:
    job.make(read_ceiling(job.record, "1", typed_stations(job.record, BENT), now))
    job.close(now)

    def told(*words: str) -> tuple[int, str]:
        status = main(["scribecut", "hill", *words, "--data", str(desk.folder)])
        said = capsys.readouterr()
        return status, said.out + said.err

    assert "Ridge side A: cut to the scribe line: circular saw (the ceiling bends" in told()[1]
    assert "Great room Cross side A: measure the ceiling first" in told()[1]
    status, out = told("Ridge", "A", "plane", "--reason", "over the cabinets")
    assert (status, out) == (
        0, "Saved: chose the plane for the scribe cut of Great room Ridge side A.\n"
    )  # fmt: skip
    [side] = json.loads(told("Ridge", "A", "--json")[1])["sides"]
    assert side["scribe_cut"]["way"] == "plane"
    assert "plane" in side["caution"]
    assert told("Ridge", "A", "axe")[0] != 0
    assert told("Ridge", "bottom", "plane")[0] != 0
    main(["export", "hill", "--data", str(desk.folder)])
    exported = json.loads(capsys.readouterr().out)
    kept = exported["beams"]["1"]["pieces"]["A"]["scribe_cut"]
    assert (kept["way"], kept["reason"]) == ("plane", "over the cabinets")


def test_the_cut_list_command_knows_the_shops_tools(desk, job, now, capsys) -> None:
    """As the batch does: 14 3/4 - 14 and 1/8, what the setting can be off by, is 7/8; the block
    leaves 10 less 1 in."""
    job.make(read_ceiling(job.record, "1", typed_stations(job.record, BENT), now))
    job.close(now)

    def scribe() -> dict[str, object]:
        assert main(["cutlist", "hill", "--json", "--data", str(desk.folder)]) == 0
        made = json.loads(capsys.readouterr().out)
        return next(one["scribe"] for one in made["beams"] if one["scribe"] is not None)

    assert scribe()["tool"] is None
    desk.shop.change(now, scribers="block = 1", scribe_cut="plane")
    made = scribe()
    assert made["setting"]["exact"] == "7/8"
    assert (made["tool"]["name"], made["tool"]["lowest_drop"]["exact"]) == ("block", "9")


FLAT = (("0", "10", "10"), ("48", "10", "10"), ("96", "10", "10"))
KNIFE = ShopMachine(scribers=(("knife", Fr(1, 2)),))


def test_the_way_and_the_marks_are_those_of_the_tool_that_is_taken(record, now) -> None:
    # under a flat ceiling every spot loses just what the knife's line is off it: 1/2 in of 10
    record.ask_crew = lambda: Crew(machine=KNIFE)
    record.look_at_crew()
    run = take.typed_reading(record, "run", "96", now)
    record.make(take.take(record, A, "run", run))
    record.make(read_ceiling(record, "1", typed_stations(record, FLAT), now))
    told = cut_list("hill", record, machine=KNIFE)
    scribe = told.values["beams"][0]["scribe"]
    assert Fr(scribe["setting"]["exact"]) <= Fr(1, 8)
    assert {one["with_tool"]["cut_depth"]["exact"] for one in scribe["marks"]} == {"1/2"}
    height = record.beam("1").height("A")
    left = {Fr(one["with_tool"]["finished_height"]["exact"]) for one in scribe["marks"]}
    assert left == {height - Fr(1, 2)}
    wanted = {Fr(one["cut_depth"]["exact"]) for one in scribe["marks"]}
    assert wanted == {Fr(scribe["setting"]["exact"])}
    assert {one["way"] for one in scribe_cuts(record, KNIFE).values()} == {"table saw"}
    beam, made = record.beam("1"), scribe_of(record.beam("1"))
    assert {row[3] for row in station_rows(made, record.job.step, beam)} == {"1/2"}
    assert "1/2 in cut" in gap_at(beam, made, "A", Fr(48), record.job.step)[0]
    assert any("with knife, 1/2 in" in one for one in scribe_lines(made, record.job.step, beam))


def test_a_check_off_keeps_the_way_that_goes_with_the_tool_that_is_taken(record, now) -> None:
    """1/2 in comes off with the knife, as above, and is sawn; the wanted setting would be
    planed."""
    record.ask_crew = lambda: Crew(machine=KNIFE)
    record.look_at_crew()
    run = take.typed_reading(record, "run", "96", now)
    record.make(take.take(record, A, "run", run))
    record.make(read_ceiling(record, "1", typed_stations(record, FLAT), now))
    assert {one["way"] for one in scribe_cuts(record, USUAL_MACHINE).values()} == {"plane"}
    shown = scribe_cuts(record, KNIFE)["A"]["way"]
    record.make(tick(record, A, "cut-scribe", now, override="scribed on the bench"))
    mark = record.beam("1").piece("A").steps["cut-scribe"]
    assert mark.cut.way == shown == "table saw"

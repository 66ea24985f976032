"""A batch's settings: ordered cuts, figures as the saw is set to them, and the hand tools."""

import math
from fractions import Fraction as Fr

import pytest

from crewdesk.job.beams import beams, take
from crewdesk.job.beams.in_plan import TypedSquare, read_squares
from crewdesk.job.cuts.batches import batch_settings
from crewdesk.job.cuts.machine import cuts_of
from crewdesk.job.cuts.mark_list import mark_list
from crewdesk.job.cuts.marks import marks
from crewdesk.job.cuts.scribing import read_ceiling, typed_stations
from crewdesk.job.steps.ticks import Spot
from crewdesk.length import DEFAULT_STEP, show_length
from crewdesk.paper.text.cutlist import cut_list
from crewdesk.paper.text.notes import skew_notes
from crewdesk.paper.text.settings_text import (
    group_figures,
    notes_told,
    setting_parts,
    setting_told,
)
from crewdesk.trade.cuts.section import Section
from crewdesk.trade.cuts.shop_machine import ShopMachine
from crewdesk.trade.read_length import read_length

STATIONS = (("0", "14", "14"), ("60", "14-1/2", "14-1/4"), ("120", "14-1/4", "14-3/4"))


def take_all(record, now, spot: Spot, **readings: str) -> None:
    for what, text in readings.items():
        gap, _, lean = text.partition(":")
        one = take.typed_reading(record, what, gap, now, lean=lean, level="24")
        record.make(take.take(record, spot, what, one))


def shown(record, step: str, piece: str = "bottom", **more: object):
    spots = [Spot(beam.row, piece) for beam in record.beams]
    groups = batch_settings(record, step, spots, ShopMachine(**more)).groups
    return [
        (one.cut, setting_told(one.machine, one.setting, record.job.step, one.signs))
        for one in groups
    ], groups


def test_a_bottom_is_ripped_square_and_then_leaves_its_flat(record) -> None:
    told, groups = shown(record, "rip-bottom")
    # 6.366 in at the table with the back down (see test_saw_passes), to the 1/32 above: 0.009 in
    # more leaves 0.009 / tan 15 = 0.033 in more flat.
    assert told == [
        ("square rip to width", "table saw: blade square, fence 6 1/2 in"),
        ("relief bevel, both edges", "table saw: blade tilt 15°, fence at the table 6 3/8- in"),
    ]
    assert [one.order for one in groups] == [1, 2]
    assert [len(one.finished) for one in groups] == [0, 2]
    assert groups[1].placed == "fence right of the blade"
    assert "Back down" in notes_told(groups[1])[0]
    assert "Leaves 9/32 in flat" in notes_told(groups[1])[0]
    told, groups = shown(record, "rip-bottom", face_down="show")
    # 6.567 in with the show face down; the blade then leans toward the fence.
    assert told[1][1].endswith("fence at the table 6 19/32- in")
    assert groups[1].placed == "fence left of the blade"
    assert notes_told(groups[1])[-1].startswith("! The board is under the blade")
    _, groups = shown(record, "rip-bottom", face_down="show", tilts="right")
    assert groups[1].placed == "fence right of the blade"


@pytest.mark.parametrize("down", ["back", "show"])
@pytest.mark.parametrize("step", ["1/16", "1/32", "mm"])
@pytest.mark.parametrize("bevel", [5, 10, 15, 30, 45])
@pytest.mark.parametrize("flat", [Fr(0), Fr(10, 254), Fr(1, 4)])
def test_a_rounded_fence_never_cuts_into_the_show_face(
    record, now, down, step, bevel, flat
) -> None:
    """The plane of the cut, found from the fence that is shown: at the show face it is outside
    the board, and it enters the edge at the flat that is told."""
    section = Section(Fr(8), Fr(10), flat=flat, bevel=Fr(bevel), fit=Fr(1, 50))
    if step != record.job.step.name:
        record.make(beams.change_job(record, {"step": step}, now))
    record.make(beams.change_beam(record, "1", {"section": section}, now))
    machine = ShopMachine(face_down=down)
    square, tilted = batch_settings(record, "rip-bottom", [Spot("1", "bottom")], machine).groups
    width = float(dict(square.setting)["fence"])
    table = float(dict(tilted.setting)["fence at the table"])
    rise = math.tan(math.radians(bevel))
    # Heights over the table; the blade's plane goes out to the show face in both ways.
    if down == "back":
        at_show, enters = table + 0.75 * rise, 0.75 - (width - table) / rise
    else:
        at_show, enters = table, (table - width) / rise
    assert at_show >= width - 1e-9
    assert enters >= float(flat) - 1e-9
    if flat:
        told = next(note for note in tilted.notes if note.startswith("Leaves "))
        left = min(0.75, enters)
        text = told.removeprefix("Leaves ").split(" flat")[0].replace("-", "").replace("+", "")
        unit = "mm" if step == "mm" else "in"
        assert float(read_length(text, unit=unit)) == pytest.approx(left, abs=1 / 32 + 1e-9)


def test_the_edges_rule_where_rounded_offsets_do_not_add_up_to_them(record, now) -> None:
    """Edges 7/32 in apart; ends of 5/32- and 3/32- in are 1/4 in apart, if one adds them up."""
    take_all(record, now, Spot("1", "bottom"), opening="120 5/16", edge_b="120 3/32")
    squares = (TypedSquare(1, "17/32", "24", "A"), TypedSquare(2, "9/32", "24", "A"))
    record.make(read_squares(record, "1", squares, now))
    beam = record.beam("1")
    listed = {one.id: one for one in mark_list(marks(beam, beam.piece("bottom")), "bottom")}
    rule = "lay out edge A and edge B; the offsets at the ends are a check"
    assert rule in listed["edge_b"].note
    assert rule not in listed["edge_a"].note
    assert rule in " ".join(cut_list("hill", record).lines)


def test_boards_with_one_fence_are_one_group_though_their_signs_differ(record, now) -> None:
    # To the nearest 1/16: 9.52 in is 9 1/2 and more, 9.48 in is 9 1/2 and less.
    record.make(beams.change_job(record, {"step": "1/16"}, now))
    for row, height in (("1", Fr("9.52")), ("2", Fr("9.48"))):
        section = Section(Fr(8), height)
        record.make(beams.change_beam(record, row, {"section": section}, now))
    spots = [Spot(row, key) for row in "12" for key in "AB"]
    made = batch_settings(record, "rip-side", spots)
    (group,) = made.groups
    assert dict(group.setting) == {"blade tilt": 0, "fence": Fr(19, 2)}
    assert set(group.spots) == set(spots)
    assert group.signs == {}
    assert (made.times_set, made.beam_by_beam) == (1, 1)


def test_beams_scribed_with_one_tool_are_one_group_whatever_they_finish_to(record, now) -> None:
    for row, height in (("1", "11"), ("2", "12")):
        record.make(beams.change_beam(record, row, {"section": Section(Fr(8), Fr(height))}, now))
        record.make(read_ceiling(record, row, typed_stations(record, STATIONS), now))
    spots = [Spot("1", "A"), Spot("2", "A")]
    tool = ShopMachine(scribers=(("block", Fr(15, 16)),))
    made = batch_settings(record, "scribe", spots, tool)
    (group,) = made.groups
    assert dict(group.setting) == {"opening": Fr(15, 16)}
    assert made.times_set == 1
    assert group.notes == ()
    # 15/16 in comes off of both.
    for spot, finishes in zip(spots, ("10 1/16", "11 1/16"), strict=True):
        assert "Take: block, 15/16 in" in group.own[spot]
        assert f"finishes {finishes} in wide" in group.own[spot]


def test_ends_cut_alike_without_a_stop_are_one_group_whatever_their_lengths(record, now) -> None:
    for row, run in (("1", "147"), ("2", "120")):
        squares = (TypedSquare(1, "1", "24", "A"), TypedSquare(2, "2", "24", "B"))
        record.make(read_squares(record, row, squares, now))
        for key in "AB":
            take_all(record, now, Spot(row, key), run=run, end1="2:in", end2="2:in")
        take_all(
            record, now, Spot(row, "bottom"), opening=run, edge_b=f"{float(run) + 6.5 / 24:.4f}"
        )
    spots = [Spot(row, "bottom") for row in "12"]
    made = batch_settings(record, "cut-bottom", spots, ShopMachine(miter_tilts="right"))
    over = [one for one in made.groups if "stays along edge A" in str((one.notes, one.own))]
    assert over
    for group in over:
        assert group.spots == tuple(spots)
        assert group.own[spots[0]] != group.own[spots[1]]


def test_bottoms_of_another_flat_or_thickness_share_no_tilted_setting(record, now) -> None:
    for name, more in (
        ("flat", {"flat": Fr(1, 2)}),
        ("thick", {"bottom_thickness": Fr(1)}),
        ("knife", {"flat": Fr(0)}),
    ):
        section = Section(Fr(8), Fr(10), **more)
        record.make(beams.add_beam(record, name, "Hall", now, section=section))
    told, groups = shown(record, "rip-bottom")
    assert groups[0].cut == "square rip to width"
    assert {one.cut for one in groups[1:]} == {
        "relief bevel, both edges",
        "relief bevel to a knife edge, both edges",
    }
    assert [len(one.spots) for one in groups if one.order == 1] == [5]
    fences = {figure for _, figure in told[1:]}
    assert len([one for one in groups if one.order == 2]) == 4
    assert len(fences) == 3  # 1/2 in and 3/4 in of relief, and 1/4 in
    # Every bottom square first, then every tilt.
    settings = batch_settings(record, "rip-bottom", [Spot(b.row, "bottom") for b in record.beams])
    assert (settings.times_set, settings.beam_by_beam) == (5, 10)


def test_a_width_that_must_go_in_is_never_set_over(record, now) -> None:
    # 6 1/2 less 1/50 is 6.48 in: to the 1/32 below 6 15/32, and a little more is true.
    section = Section(Fr(8), Fr(10), fit=Fr(1, 50))
    record.make(beams.change_beam(record, "1", {"section": section}, now))
    [square, *_] = batch_settings(record, "rip-bottom", [Spot("1", "bottom")]).groups
    parts = setting_parts(square.setting, record.job.step, square.signs)
    assert parts[1] == ("fence", "6 15/32+ in")


def test_two_lengths_that_are_stopped_alike_are_one_group(record, now) -> None:
    for row, opening in (("1", "147"), ("2", "147.01")):
        take_all(record, now, Spot(row, "bottom"), opening=opening)
    told, groups = shown(record, "cut-bottom")
    # 147 and 147.01 less 1/32, both to the 1/32 below.
    assert told[0] == (
        "cut to length, both ends",
        "miter saw: blade square, miter 0°, stop on edge A 146 31/32 in",
    )
    assert [len(one.spots) for one in groups] == [2, 2]
    # Both were cut to 146 31/32, so 146.96875 - (2 - sqrt 3) / 2 = 146.8348, which is 146 27/32
    # less a little, is right for both.
    assert told[1][1].endswith(
        "blade tilt 15°, miter 0°, stop on edge A, at the table 146 27/32- in"
    )
    assert groups[1].placed == "stop right of the blade"


def test_edges_that_differ_have_a_miter_each_and_a_stop_on_edge_a(record, now) -> None:
    squares = (TypedSquare(1, "1", "24", "A"), TypedSquare(2, "2", "24", "B"))
    record.make(read_squares(record, "1", squares, now))
    # Edge A less edge B by the walls: (1/24 - 2/24) x 6 1/2.
    edge_b = Fr(147) + Fr(13, 2) / 24
    take_all(record, now, Spot("1", "bottom"), opening="147", edge_b=f"{float(edge_b):.4f}")
    cuts, why = cuts_of(
        record.job, record.beam("1"), record.beam("1").piece("bottom"), "cut-bottom"
    )
    assert not why
    values = [{part.name: float(part.value) for part in cut.parts} for cut in cuts]
    assert [one["miter"] for one in values] == pytest.approx([2.386, 4.764] * 2, abs=1e-2)
    assert "stop on edge A" not in values[0]
    assert values[1]["stop on edge A"] == 147 - 1 / 32
    assert "Long point on edge A." in cuts[0].notes
    assert "Long point on edge B." in cuts[1].notes


def test_an_unknown_slant_has_no_miter(record, now) -> None:
    take_all(record, now, Spot("1", "bottom"), opening="147", edge_b="147-1/4")
    [group] = batch_settings(record, "cut-bottom", [Spot("1", "bottom")]).groups
    assert (group.machine, group.setting) == ("", ())
    assert "read the square at each wall" in group.why


def test_mitered_bottoms_have_square_ends(record, now) -> None:
    record.make(beams.add_beam(record, "m", "Hall", now, form="mitred"))
    take_all(record, now, Spot("3", "bottom"), opening="96")
    [group] = batch_settings(record, "cut-bottom", [Spot("3", "bottom")]).groups
    assert dict(group.setting)["blade tilt"] == 0


def test_a_top_is_cut_to_length_from_its_sides(record, now) -> None:
    record.make(beams.add_beam(record, "box", "Hall", now, form="box"))
    top = [Spot("3", "top")]
    assert "Not measured yet" in batch_settings(record, "fix-top", top).groups[0].why
    for key in "AB":
        take_all(record, now, Spot("3", key), run="96", end1="0:in", end2="0:in")
    group, nailed = batch_settings(record, "fix-top", top).groups
    assert (group.finished, nailed.finished) == ((), (Spot("3", "top"),))
    assert dict(nailed.setting) == {"nail": Fr(5, 4)}
    # Between plumb walls a top is as long as the run, less the 1/32 that is cut short.
    assert dict(group.setting) == {"blade tilt": 0, "miter": 0, "stop on edge A": 96 - Fr(1, 32)}


def test_a_wall_that_comes_in_takes_one_tilted_cut(record, now) -> None:
    # 2 in over 24 is more than the 1/64 in that a flat of 1/4 in may stand off the wall.
    for key in "AB":
        take_all(record, now, Spot("1", key), run="120", end1="0:in", end2="2:in")
    take_all(record, now, Spot("1", "bottom"), opening="120")
    groups = batch_settings(record, "cut-bottom", [Spot("1", "bottom")]).groups
    assert [one.cut for one in groups] == [
        "cut to length, end 1", "bevel to length, end 2", "relief bevel, end 1"
    ]  # fmt: skip
    bevel = dict(groups[1].setting)
    # The arctangent of 1/12 is 4.764 degrees (tables); 3/4 x 1/12 is off the back, and the
    # length is never over: 120 - 1/32 - 1/16 to the 1/32 below.
    assert (bevel["blade tilt"], bevel["stop on edge B, at the table"]) == (
        Fr("4.76"), 120 - Fr(3, 32)
    )  # fmt: skip


def test_cleats_are_ripped_by_the_takeoffs_rule(record) -> None:
    cutting = dict(record.tables["job"]["1"].get("cutting", {}), cleat="1")
    record.tables["job"]["1"]["cutting"] = cutting
    cut = cuts_of(record.job, record.beam("1"), record.beam("1").piece("cleats"), "rip-cleats")[0][
        0
    ]
    assert cut.parts[1].value == record.job.cutting.cleat
    assert "sawn face goes against the side" in cut.notes[0]


def test_the_tool_to_scribe_with_is_named(record, now) -> None:
    record.make(read_ceiling(record, "1", typed_stations(record, STATIONS), now))
    # 14 3/4 - 14 and 1/8, what the setting can be off by.
    tools = (("pencil", Fr(1, 8)), ("tall block", Fr(3, 2)), ("block", Fr(15, 16)))
    [group] = batch_settings(
        record, "scribe", [Spot("1", "A"), Spot("1", "B")], ShopMachine(scribers=tools)
    ).groups
    # The figures are those with the tool: 10 in less 15/16 in hang down, not 10 less 7/8.
    assert dict(group.setting) == {"opening": Fr(15, 16)}
    assert group.notes[0] == (
        "Take: block, 15/16 in. Wanted setting: 7/8 in. The tool takes off 1/16 in more "
        "everywhere: with it the narrower side finishes 9 1/16 in wide, not 9 1/8 in. Use it for "
        "both sides."
    )
    short = ShopMachine(scribers=tools[:1])
    [group] = batch_settings(record, "scribe", [Spot("1", "A")], short).groups
    assert "None of your scribing tools reaches" in group.notes[0]
    assert not batch_settings(record, "scribe", [Spot("1", "A")]).groups[0].notes
    # 10 in less 7/8 in hang down; where 9 1/8 in and more are asked for, that is too little.
    record.make(beams.change_beam(record, "1", {"drop": Fr(147, 16)}, now))
    [group] = batch_settings(record, "scribe", [Spot("1", "A")], ShopMachine(scribers=tools)).groups
    assert "set a scriber instead" in group.notes[0]
    assert dict(group.setting) == {"opening": Fr(7, 8)}


def test_the_cut_list_has_the_figures_of_the_tool_too(record, now) -> None:
    record.make(read_ceiling(record, "1", typed_stations(record, STATIONS), now))
    shop = ShopMachine(scribers=(("block", Fr(15, 16)),))
    made = cut_list("hill", record, machine=shop)
    lines = " ".join(" ".join(made.lines).split())
    assert (
        "set the scriber to 7/8 in for both sides; the narrower one finishes 9 1/8 in wide; with "
        "block, 15/16 in, 1/16 in more comes off everywhere, and it finishes 9 1/16 in wide"
    ) in lines
    tool = made.values["beams"][0]["scribe"]["tool"]
    assert (tool["name"], tool["offset"]["exact"], tool["lowest_drop"]["exact"]) == (
        "block", "15/16", "145/16"
    )  # fmt: skip
    assert cut_list("hill", record).values["beams"][0]["scribe"]["tool"] is None


def test_angles_are_decimal_everywhere() -> None:
    def shown(angle: str) -> str:
        [(_, told)] = setting_parts((("miter", Fr(angle)),), DEFAULT_STEP)
        return told

    found = [shown(one) for one in ("12/5", "15", "22.5", "57/8", "1.51", "151/10")]
    assert found == [
        "2.40\u00b0",
        "15\u00b0",
        "22.50\u00b0",
        "7.125\u00b0",
        "1.51\u00b0",
        "15.10\u00b0",
    ]


def test_how_each_side_is_cut_to_its_line(record, now) -> None:
    take_all(record, now, Spot("1", "A"), run="120")
    record.make(read_ceiling(record, "1", typed_stations(record, STATIONS), now))
    spots = [Spot("1", "A"), Spot("1", "B")]
    [group] = batch_settings(record, "cut-scribe", spots).groups
    assert group.machine == "circular saw"
    assert dict(group.setting) == {"back-cut": 3, "proud of the line": Fr(1, 32)}
    assert notes_told(group)[-1].startswith("! Hold the circular saw with both hands")
    assert "Leave 1/32 in proud" in notes_told(group)[0]
    plane = ShopMachine(scribe_cut="plane", back_cut=Fr(5))
    [group] = batch_settings(record, "cut-scribe", spots, plane).groups
    assert (group.machine, dict(group.setting)) == ("plane", {"back-cut": 5})
    # A straight line: the ceiling falls evenly over side A, 1/2 in over 10 feet.
    even = (("0", "14", "14"), ("60", "14-1/4", "14-1/4"), ("120", "14-1/2", "14-1/2"))
    record.make(read_ceiling(record, "1", typed_stations(record, even), now))
    assert batch_settings(record, "cut-scribe", spots[:1]).groups[0].machine == "track saw"


def test_the_back_bevel_names_the_end_of_each_board(record, now) -> None:
    both = [Spot("1", "A"), Spot("1", "B")]
    [group] = batch_settings(record, "back-bevel", both).groups
    assert "isn't known yet" in group.why
    # Both walls go away from the beam below: 1/4 in over 24 in, so the room closes in by 5/24 in
    # over the side's 10 in, and neither board goes straight up.
    for key in "AB":
        take_all(record, now, Spot("1", key), run="147", end1="1/4:out", end2="1/4:out")
    groups = batch_settings(record, "back-bevel", both).groups
    # Side B is seen from behind side A: its end 2 is at the left of its own show face.
    assert {(one.spots, one.cut) for one in groups} == {
        ((Spot("1", "A"),), "end 2, the right end seen from the show face"),
        ((Spot("1", "B"),), "end 2, the left end seen from the show face"),
    }
    for one in groups:
        assert dict(one.setting) == {"back bevel": 5, "starts at a height of": 1}
        assert one.finished == one.spots
        assert one.own[one.spots[0]].startswith("put end 1 up first, then swing end 2 in; ")


def test_boards_that_go_straight_up_need_no_back_bevel(record, now) -> None:
    for key in "AB":
        take_all(record, now, Spot("1", key), run="147", end1="1/4:in", end2="0:in")
        take_all(record, now, Spot("2", key), run="147", end1="1/4:out", end2="0:in")
    spots = [Spot(row, key) for row in "12" for key in "AB"]
    *beveled, none = batch_settings(record, "back-bevel", spots).groups
    assert [spot.beam for one in beveled for spot in one.spots] == ["2", "2"]
    assert (none.machine, none.cut, none.why) == ("", "none needed", "")
    assert none.spots == none.finished == tuple(spots[:2])
    assert "don't swing in" in none.notes[0]


def test_a_wall_out_of_square_says_how_much_the_back_must_lose(record, now) -> None:
    # At end 1 side A has more room at its show face, by 3/4 x 3/24 over its thickness.
    squares = (TypedSquare(1, "3", "24", "A"), TypedSquare(2, "1/4", "24", "A"))
    record.make(read_squares(record, "1", squares, now))
    for key in "AB":
        take_all(record, now, Spot("1", key), run="147", end1="0:in", end2="0:in")
    one_beam = record.beam("1")
    cuts, _ = cuts_of(record.job, one_beam, one_beam.piece("A"), "back-bevel")
    assert [cut.name[:15] for cut in cuts] == ["end 1, the left", "end 2, the righ"]
    # The arctangent of 1/8 is 7.125 degrees (tables).
    assert [float(cut.parts[0].value) for cut in cuts] == pytest.approx([7.125, 5], abs=1e-3)
    assert "3/32 in or more off the back, for the wall out of square; pare" in cuts[0].own
    # 3/4 x 1/96 is 1/128 in: the figure of the cut list and of the sheets, never under it.
    marked = {one.id: one for one in mark_list(marks(one_beam, one_beam.piece("A")), "A")}
    assert show_length(marked["relief2"].value, DEFAULT_STEP, way="up") == "1/32-"
    assert "1/32- in or more off the back, for the wall out of square; pare" in cuts[1].own
    lines = skew_notes(one_beam, one_beam.piece("A"), DEFAULT_STEP)
    assert not any("as good as square" in line for line in lines)
    assert not any("swing" in cut.own for cut in cuts)
    # Side B's back has the room there.
    b, why = cuts_of(record.job, record.beam("1"), record.beam("1").piece("B"), "back-bevel")
    assert not b
    assert why.startswith("No back bevel needed")


def test_a_side_with_square_ends_is_cut_to_its_finished_length_in_one_pass(record, now) -> None:
    # Plumb walls: 119 57/64 in must never come out over, so the stop is 119 7/8 in.
    for key in "AB":
        take_all(record, now, Spot("1", key), run="119 57/64", end1="0:in", end2="0:in")
    spots = (Spot("1", "A"), Spot("1", "B"))
    (group,) = batch_settings(record, "cut-side", spots).groups
    assert (group.spots, group.finished) == (spots, spots)
    assert dict(group.setting) == {"finished length": 119 + Fr(7, 8)}
    assert dict(group.signs) == {"finished length": "+"}
    assert group.cut == "square both ends, to length"
    assert group.notes[0].startswith("Both ends are square: this is the finished length.")


@pytest.mark.parametrize(
    ("key", "ends", "stays", "cut", "marked"),
    [
        # Over 10 in high, 1/4 in 24 is 5/48 and 3/8 in 24 is 5/32.
        ("A", ("0:in", "1/4:in"), "left", "right", "end 2: top cut back 1/8- in from the square "
         "line; bottom edge 147 in long, top edge 146 7/8+ in"),
        ("B", ("0:in", "3/8:out"), "right", "left", "end 2: top runs out 5/32 in past the square "
         "line; bottom edge 147 in long, top edge 147 5/32 in"),
        ("A", ("3/8:out", "0:in"), "right", "left", "end 1: top runs out 5/32 in past the square "
         "line; bottom edge 147 in long, top edge 147 5/32 in"),
    ],
)  # fmt: skip
def test_a_square_end_is_done_with_the_blank(record, now, key, ends, stays, cut, marked) -> None:
    spot = Spot("1", key)
    take_all(record, now, spot, run="147", end1=ends[0], end2=ends[1])
    blank, end = batch_settings(record, "cut-side", [spot]).groups
    out = Fr(5, 32) if ":out" in "".join(ends) else 0
    assert dict(blank.setting) == {"blank for marking": 147 + out}
    assert blank.finished == ()
    assert blank.notes[0] == (
        f"Not the finished length: the {stays} end is square and stays; mark each board from it "
        f"and cut its {cut} end next."
    )
    assert end.cut == f"{cut} end, seen from the show face"
    assert end.own[spot] == marked
    assert end.finished == (spot,)


def test_a_side_is_squared_to_its_blank_and_then_cut_at_both_ends(record, now) -> None:
    # Over the side's 10 in: 1/4 in 24 comes in by 5/48, 3/8 in 24 goes out by 5/32.
    for key in "AB":
        take_all(record, now, Spot("1", key), run="147", end1="1/4:in", end2="3/8:out")
    spots = [Spot("1", "A"), Spot("1", "B")]
    groups = batch_settings(record, "cut-side", spots).groups
    blank = groups[0]
    assert (blank.order, blank.spots, blank.finished) == (1, tuple(spots), ())
    assert dict(blank.setting) == {"blank for marking": 147 + Fr(5, 32)}
    assert "cut both of its ends next" in blank.notes[0]
    cuts = {(one.cut[:5].strip(), one.spots[0].piece): one for one in groups[1:]}
    assert [one.order for one in groups[1:]] == [2, 2, 3, 3]
    left_a, right_a = cuts["left", "A"], cuts["right", "A"]
    left_b, right_b = cuts["left", "B"], cuts["right", "B"]
    # Angles: the arctangents of 1/96 and 1/64 (tables).
    assert [float(dict(one.setting)["miter"]) for one in (left_a, right_a, left_b, right_b)] == (
        pytest.approx([0.60, 0.90, 0.90, 0.60], abs=5e-3)
    )
    a, b = spots
    assert left_a.own[a] == "end 1: top cut back 1/8- in from the square line"
    # The top: 147 - 5/48 + 5/32 = 147 5/96.
    assert right_a.own[a] == (
        "end 2: top runs out 5/32 in past the square line; bottom edge 147 in long, "
        "top edge 147 1/32+ in"
    )
    assert left_b.own[b].startswith("end 2: top runs out 5/32 in")
    assert "bottom corner 5/32 in inside the blank's end" in left_b.own[b]
    # 7/16 in 24 goes out by 10 x 7 / 16 / 24 = 0.182 in: one offset, one figure.
    take_all(record, now, a, end1="7/16:out")
    lines = batch_settings(record, "cut-side", [a]).groups[1].own[a]
    assert lines == (
        "end 1: top runs out 5/32+ in past the square line; bottom corner 5/32+ in inside the "
        "blank's end"
    )
    assert "Long point on the bottom edge." in left_a.notes
    assert "Long point on the top edge." in right_a.notes
    assert [one.finished for one in groups] == [(), (), (), *((one.spots) for one in groups[3:])]


def test_the_setups_that_are_counted_are_those_that_are_listed(record, now) -> None:
    """The same miter with the long point on the other edge, or at the other end, is another."""
    for row, run in (("1", "147"), ("2", "120")):
        for key in "AB":
            take_all(record, now, Spot(row, key), run=run, end1="1/4:in", end2="1/4:out")
    spots = [Spot(row, key) for row in "12" for key in "AB"]
    made = batch_settings(record, "cut-side", spots)
    assert len(made.groups) == 6
    assert made.times_set == len(made.groups)
    # Beam by beam: one blank for both sides, then a left and a right end of each.
    assert made.beam_by_beam == 10


def test_sides_are_nailed_into_framing_with_a_caution(record) -> None:
    [group] = batch_settings(record, "nail-side", [Spot("1", "A")]).groups
    # The longest 16 gauge finish nail as sold (common practice, no source).
    assert dict(group.setting) == {"nail": Fr(5, 2)}
    assert any(line.startswith("! Look for wires and pipes") for line in notes_told(group))


@pytest.mark.parametrize("tilts", ["left", "right"])
@pytest.mark.parametrize("face_down", ["back", "show"])
def test_how_a_board_lies_is_what_the_notes_say(record, now, tilts: str, face_down: str) -> None:
    machine = {"tilts": tilts, "face_down": face_down, "miter_tilts": tilts}
    _, (square, relief) = shown(record, "rip-bottom", **machine)
    assert (square.lies.side, square.lies.leans, square.lies.whole) == ("", "", True)
    assert square.lies.thick == Fr(3, 4)
    lies, notes = relief.lies, " ".join(relief.notes)
    assert relief.placed == f"fence {lies.side} of the blade"
    assert lies.leans == tilts
    assert ("leans away from the fence" in notes) == (lies.leans != lies.side)
    assert (lies.down == "back") == notes.startswith("Back down")
    assert not lies.whole
    figures = group_figures(relief, DEFAULT_STEP)
    assert figures[0][2] == f"leans {tilts}"
    assert figures[1][2] == f"in, {lies.side} of blade"
    assert figures[2][:2] == ("face down", face_down.upper())
    for key in "AB":
        take_all(record, now, Spot("1", key), run="147", end1="1/4:in", end2="3/8:out")
    groups = batch_settings(record, "cut-side", [Spot("1", key) for key in "AB"]).groups
    assert {one.lies.side for one in groups if one.machine == "miter saw"} == {"left", "right"}
    for group in groups:
        assert group.lies.view == "above"
        assert group.lengths[group.spots[0]] > 147
        if group.machine == "miter saw":
            point = {"fence": "bottom", "free": "top"}[group.lies.long_point]
            assert f"Long point on the {point} edge." in group.notes
            assert group.cut.startswith(group.lies.side)

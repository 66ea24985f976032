"""Forms, slopes, walls in plan and sureness, as the record feeds them to the trade."""

import math
from fractions import Fraction as Fr

import pytest

from crewdesk.errors import BadInput
from crewdesk.job.beams import beams, take
from crewdesk.job.beams.forms import FORMS
from crewdesk.job.beams.in_plan import (
    TypedSquare,
    bottom_edges,
    compound_cuts,
    ends_in_plan,
    read_squares,
)
from crewdesk.job.beams.plausibility import doubt
from crewdesk.job.cuts.batches import batch_settings
from crewdesk.job.cuts.machine import cuts_of
from crewdesk.job.cuts.marks import BottomMarks, SideMarks, marks
from crewdesk.job.cuts.scribing import read_ceiling, typed_stations
from crewdesk.job.cuts.walls import at_ridge
from crewdesk.job.steps import ticks
from crewdesk.job.steps.run_sheet import RunSheet
from crewdesk.job.steps.ticks import Spot
from crewdesk.length import DEFAULT_STEP
from crewdesk.paper.text.cutlist import cut_list
from crewdesk.paper.text.notes import skew_notes
from crewdesk.paper.text.settings_text import setting_told

LEVEL = "24"


def read_side(record, row, key, run, end1, end2, now) -> None:
    for what, text in (("run", run), ("end1", end1), ("end2", end2)):
        gap, _, lean = text.partition(":")
        one = take.typed_reading(record, what, gap, now, lean=lean, level=LEVEL)
        record.make(take.take(record, Spot(row, key), what, one))


def added(record, now, **more):
    record.make(beams.add_beam(record, "new", "Attic", now, **more))
    return beams.find_beam(record, "Attic new").row


@pytest.mark.parametrize("form", FORMS)
def test_every_form_goes_through_all_of_its_steps(record, now, form) -> None:
    pitch = "3/12" if form == "ridge" else ""
    more = {"height_b": Fr(12) if form == "uneven" else None, "pitch": pitch}
    row = added(record, now, form=form, **more)
    beam = record.beam(row)
    assert tuple(beam.pieces) == FORMS[form].pieces
    for key in beam.pieces:
        if beam.piece(key).kind == "side":
            read_side(record, row, key, "120", "0:in", "0:in", now)
    level = [(at, "14", "14") for at in ("0", "60", "120")]
    record.make(read_ceiling(record, row, typed_stations(record, level), now))
    for _ in range(200):
        ready = [
            (spot, one.step.id)
            for one in RunSheet(record).batches()
            for spot in one.spots
            if spot.beam == row
        ]
        if not ready:
            if "opening" in record.beam(row).piece("bottom").readings:
                break
            one = take.typed_reading(record, "opening", "120", now)
            record.make(take.take(record, Spot(row, "bottom"), "opening", one))
            continue
        spot, step = ready[0]
        record.make(ticks.tick(record, spot, step, now))
    cells = RunSheet(record).cells(record.beam(row))
    assert all(c.state in ("done", "none") for line in cells.values() for c in line)


def test_a_box_below_the_ceiling_is_neither_taped_nor_scribed(record, now) -> None:
    beam = record.beam(added(record, now, form="box"))
    sheet = {s.id: c for s, c in zip(record.stages, RunSheet(record).cells(beam)["A"], strict=True)}
    assert sheet["tape"].state == sheet["scribe"].state == "none"
    assert sheet["tack"].steps == 2  # cut to length, back bevel


def test_marks_follow_the_form(record, now) -> None:
    mitred = record.beam(added(record, now, form="mitred"))
    side = marks(mitred, mitred.piece("A"))
    bottom = marks(mitred, mitred.piece("bottom"))
    assert isinstance(side, SideMarks)
    assert isinstance(bottom, BottomMarks)
    # Corners of 90 degrees are mitred at half of that (common practice, no source).
    assert (side.blade, side.cleat_line) == (45, None)
    # The blade leans away from the fence, so the narrower face is on the table: of a side
    # 10 in high with a miter of 45 degrees through 3/4 in, its back. The top edge is square.
    (cut,), _ = cuts_of(record.job, mitred, mitred.piece("A"), "rip-side")
    assert [part[:2] for part in cut.parts] == [
        ("blade tilt", 45),
        ("fence at the table", Fr(37, 4)),
    ]
    assert cut.name == "miter, bottom edge"
    assert "Back down, top edge along the fence." in cut.notes[0]
    # With a miter on both edges it is first ripped square, then both edges are mitered.
    record.make(beams.add_beam(record, "boxed", "Attic", now, form="mitred box"))
    boxed = beams.find_beam(record, "Attic boxed")
    cuts, _ = cuts_of(record.job, boxed, boxed.piece("A"), "rip-side")
    assert [(one.name, [part.value for part in one.parts]) for one in cuts] == [
        ("square rip to width", [0, 10]),
        ("miter, both edges", [45, Fr(37, 4)]),
    ]
    assert (bottom.width, bottom.back_width, bottom.flat, bottom.bevel) == (8, Fr(13, 2), 0, 45)


def test_a_form_is_not_changed_under_pieces_that_were_worked_on(record, now, refusing) -> None:
    row = added(record, now)
    record.make(beams.change_beam(record, row, {"form": "wall"}, now))
    assert tuple(record.beam(row).pieces) == ("A", "bottom", "cleats")
    record.make(beams.change_beam(record, row, {"form": "usual"}, now))
    record.make(ticks.tick(record, Spot(row, "B"), "rip-side", now))
    said = refusing(beams.change_beam, record, row, {"form": "wall"}, now)
    assert "Work has been done on" in said
    assert "A beam type can't be 'round'" in refusing(
        beams.change_beam, record, row, {"form": "round"}, now
    )


def test_a_sloped_side_waits_for_its_pitch_and_then_has_plumb_cuts(record, now, refusing) -> None:
    row = added(record, now, ceiling="sloped")
    for key in "AB":
        read_side(record, row, key, "120", "0:in", "0:in", now)
    beam = record.beam(row)
    assert marks(beam, beam.piece("A")).cut is None
    record.make(beams.change_beam(record, row, {"pitch": "6/12", "low": 2}, now))
    beam = record.beam(row)
    cut = marks(beam, beam.piece("A")).cut
    # 6 in 12 is 26.565 degrees, and half the height over a height (framing square, S).
    assert cut.end2.angle_deg == pytest.approx(26.565, abs=1e-3)
    assert (cut.end2.offset, cut.end1.offset) == (5, -5)
    # Between two plumb walls top and bottom are equal, and the blank longer than either.
    assert cut.top_length == cut.bottom_length == 120
    assert cut.blank == 125
    steep = beams.change_beam(record, row, {"pitch": "steep"}, now)
    assert "steep" in refusing(record.make, steep)


def test_walls_in_plan(record, now, refusing) -> None:
    ends = (TypedSquare(1, "", "24", ""), TypedSquare(2, "1-1/8", "24", "b"))
    record.make(read_squares(record, "1", ends, now))
    beam = record.beam("1")
    first, second = ends_in_plan(beam, beam.piece("A"))
    assert first.long_face == "neither"
    assert (second.long_face, second.by) == ("back", Fr(3, 4) * Fr(9, 8) / 24)
    assert ends_in_plan(beam, beam.piece("B"))[1].long_face == "show"
    edges = bottom_edges(beam)
    assert edges is not None
    assert edges.a_over_b < 0
    assert "No gap was typed" in refusing(read_squares, record, "1", ends[:1], now)
    wrong = (TypedSquare(1, "1/8", "24", "left"),)
    with pytest.raises(BadInput, match="The longer side can't be LEFT"):
        read_squares(record, "1", wrong, now)
    unsaid = (TypedSquare(1, "1/8", "24", ""),)
    assert "which side is the longer at end 1" in refusing(read_squares, record, "1", unsaid, now)
    # A wall without a gap has none. 5/16 over 24 is 0.0098 in over a board of 3/4: less than
    # a thirty-second, by similar triangles (Euclid, Elements, VI 4); 1/16 is 0.002.
    record.make(read_squares(record, "1", (TypedSquare(1, "0", "24", ""),), now))
    assert ends_in_plan(record.beam("1"), record.beam("1").piece("A"))[0].long_face == "neither"
    ends = (TypedSquare(1, "5/16", "24", "a"), TypedSquare(2, "1/16", "24", "b"))
    record.make(read_squares(record, "1", ends, now))
    told = skew_notes(record.beam("1"), record.beam("1").piece("A"), DEFAULT_STEP)
    assert told[0].startswith("end 2 in plan: the back has under 1/32 in more room, so a square")
    # Side A reaches farther at end 1, so its show face has the room there: a square end
    # would touch with its back, which must lose 3/4 x 5/16 / 24. Side B hides its gap.
    made = marks(record.beam("1"), record.beam("1").piece("A"))
    assert isinstance(made, SideMarks)
    assert made.reliefs[0] is not None
    assert made.reliefs[0].by == Fr(3, 4) * Fr(5, 16) / 24
    assert made.reliefs[1] is None
    told = skew_notes(record.beam("1"), record.beam("1").piece("B"), DEFAULT_STEP)
    assert told[0].startswith("end 1 in plan: the back has under 1/32 in more room, so a square")
    # By the square side A is 1/4 x 8 / 24 = 1/12 in longer than B, by the runs 1/4 in shorter.
    for side, run in (("A", "147"), ("B", "147-1/4")):
        read_side(record, "1", side, run, "0:in", "0:in", now)
    beam = record.beam("1")
    said = doubt(beam, beam.piece("A"), "run")
    assert said is not None
    assert "side B is 1/4 in longer; by the squares at both walls, side A is 3/32- in" in said


def test_a_sloped_beam_at_a_skewed_wall_has_compound_cuts(record, now) -> None:
    row = added(record, now, ceiling="sloped", pitch="6/12", low=2)
    assert compound_cuts(record.beam(row), record.beam(row).piece("A")) == ()
    record.make(read_squares(record, row, (TypedSquare(2, "3", "12", "A"),), now))
    beam = record.beam(row)
    (a,), (b,) = (compound_cuts(beam, beam.piece(k)) for k in ("A", "B"))
    assert (a.end, a.slope_end) == (2, "low")
    # A side stands plumb: its mitre is the slope, its blade the skew, against a plumb wall.
    assert a.cut.mitre_deg == pytest.approx(math.degrees(math.atan(1 / 2)))
    assert a.cut.blade_deg == pytest.approx(math.degrees(math.atan(1 / 4)))
    assert b.cut.blade_deg == -a.cut.blade_deg
    # The published compound mitre rule, spring s off the wall and corner w: mitre
    # atan(sin s / tan(w/2)), blade asin(cos s cos(w/2)); here s = 90 - slope and w/2 =
    # 90 - skew. The bottom's low end is cut to it, and has no relief.
    reading = take.typed_reading(record, "opening", "120", now)
    record.make(take.take(record, Spot(row, "bottom"), "opening", reading))
    # One square alone says nothing of the other wall: the bottom waits for edge B.
    beam = record.beam(row)
    made = marks(beam, beam.piece("bottom"))
    assert isinstance(made, BottomMarks)
    assert made.cut is None
    record.make(read_squares(record, row, (TypedSquare(1, "0", "12", "A"),), now))
    beam = record.beam(row)
    made = marks(beam, beam.piece("bottom"))
    assert isinstance(made, BottomMarks)
    assert made.cut is not None
    low = made.cut.ends[1]
    s, half = math.pi / 2 - math.atan(1 / 2), math.pi / 2 - math.atan(1 / 4)
    assert (low.joint, low.longer, low.flat) == ("bevel", "A", 0)
    assert low.blade_deg == pytest.approx(math.degrees(math.asin(math.cos(s) * math.sin(half))))
    assert low.miter_deg == pytest.approx(math.degrees(math.atan(1 / 4 * math.hypot(1, 1 / 2))))
    read_side(record, row, "A", "120", "0:in", "1/2:in", now)
    beam = record.beam(row)
    leaning = compound_cuts(beam, beam.piece("A"))[0].cut.mitre_deg
    # Both lean the top back: slope and lean add up.
    assert leaning == pytest.approx(math.degrees(math.atan(1 / 2) + math.atan(1 / 48)))
    lines = cut_list("id", record, "Attic new").lines
    assert any("end 2 (low) compound: miter 27.76" in line for line in lines)
    pieces = cut_list("id", record, "Attic new").values["beams"][0]["pieces"]
    assert pieces[0]["compound"] == [
        {
            "end": 2,
            "slope_end": "low",
            "mitre_deg": leaning,
            "blade_deg": pytest.approx(a.cut.blade_deg, abs=0.1),
        }
    ]


def test_along_a_ridge_each_side_follows_the_slope_over_it(record, now, refusing) -> None:
    bare = beams.add_beam(record, "ridge", "Attic", now, form="ridge")
    assert "needs the pitch over side A" in refusing(record.make, bare)
    row = added(record, now, form="ridge", pitch="6/12", pitch_b="3/12")
    beam = record.beam(row)
    a, b = (marks(beam, beam.piece(key)) for key in "AB")
    # 10 in of drop, 4 in out from the ridge: 6 in 12 falls 2 in, 3 in 12 falls 1 in; over
    # 3/4 in of thickness they come back 3/8 and 3/16 in (similar triangles).
    assert (a.height, a.back_height) == (8, 8 + Fr(3, 8))
    assert (b.height, b.back_height) == (9, 9 + Fr(3, 16))
    assert float(a.top_blade) == pytest.approx(26.565, abs=1e-3)
    assert marks(beam, beam.piece("bottom")).width == Fr(13, 2)
    (cut,), _ = cuts_of(record.job, beam, beam.piece("B"), "rip-side")
    # The show face is the narrower one here, and is down.
    assert [part.name for part in cut.parts] == ["blade tilt", "fence at the table"]
    assert cut.parts[1].value == 9
    assert "Show face down, bottom edge along the fence." in cut.notes[0]
    [group] = batch_settings(record, "rip-side", [Spot(row, "B")]).groups
    told = setting_told(group.machine, group.setting, record.job.step)
    assert told == "table saw: blade tilt 14.04°, fence at the table 9 in"
    # Every tilted rip of a job can stand in one batch.
    for form in ("mitred", "mitred box"):
        record.make(beams.add_beam(record, form, "Attic", now, form=form))
    rip = next(one for one in RunSheet(record).batches() if one.step.id == "rip-side")
    groups = batch_settings(record, "rip-side", rip.spots).groups
    assert {group.machine for group in groups} == {"table saw"}
    assert {group.cut for group in groups} == {
        *("square rip to width", "bevel, top edge"),
        *("miter, bottom edge", "miter, both edges"),
    }
    read_side(record, row, "A", "120", "1/2:in", "0:in", now)
    beam = record.beam(row)
    # The end's offset goes by the show face's height: 1/2 x 8 / 24.
    assert marks(beam, beam.piece("A")).cut.end1.offset == Fr(1, 6)


def test_a_sloped_side_that_dies_into_a_ridge_beam_is_told_where_it_hangs_below(
    record, now
) -> None:
    row = added(record, now, ceiling="sloped", pitch="12/12", ridge_side=Fr(12))
    assert at_ridge(record.beam(row), record.beam(row).piece("A")) is None
    read_side(record, row, "A", "120", "0:in", "0:in", now)
    beam = record.beam(row)
    met = at_ridge(beam, beam.piece("A"))
    assert met is not None
    # Down a plumb face a board 10 in high at 45 degrees is 10 x sqrt(2) (framing square: 16.97
    # to 12).
    assert float(met.side.plumb_height) == pytest.approx(10 * 16.97 / 12, abs=1e-2)
    assert float(met.hangs_below) == pytest.approx(2.142, abs=1e-3)
    assert any("hangs" in line for line in skew_notes(beam, beam.piece("A"), DEFAULT_STEP))

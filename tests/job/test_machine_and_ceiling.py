"""Settings grouped for a batch, and the ceiling's reading with the scribe from it."""

from fractions import Fraction as Fr

import pytest

from crewdesk.errors import BadInput
from crewdesk.job.beams import beams, take
from crewdesk.job.beams.beams import change_about, instruments_shown, nails_shown
from crewdesk.job.cuts.batches import batch_settings
from crewdesk.job.cuts.scribing import read_ceiling, scribe_of, typed_stations, usual_places
from crewdesk.job.steps.run_sheet import RunSheet
from crewdesk.job.steps.ticks import Spot
from crewdesk.trade.cuts.section import Section

ROWS = (("0", "14-1/8", "14-5/16"), ("60", "14-7/8", "14-11/16"), ("120", "14-1/4", "15-1/4"))


def test_a_batch_is_grouped_by_its_setting(record, now) -> None:
    small = Section(Fr(6), Fr(8))
    for name, section in (("x", small), ("y", None), ("z", small)):
        record.make(beams.add_beam(record, name, "Hall", now, section=section))
    rip = next(one for one in RunSheet(record).batches() if one.step.id == "rip-side")
    made = batch_settings(record, "rip-side", rip.spots)
    assert sorted(s for g in made.groups for s in map(str, g.spots)) == sorted(map(str, rip.spots))
    assert [dict(group.setting)["fence"] for group in made.groups] == [10, 8]
    # 10, 10, then 8, 10, 8 as the beams come.
    assert (made.times_set, made.beam_by_beam) == (2, 4)


def test_steps_without_a_machine_stand_together(record) -> None:
    spots = next(one.spots for one in RunSheet(record).batches())
    made = batch_settings(record, "sand", spots)
    assert [(group.machine, group.setting) for group in made.groups] == [("", ())]
    assert (made.times_set, made.beam_by_beam) == (0, 0)


def test_the_scribe_follows_the_ceiling(record, now, refusing) -> None:
    assert scribe_of(record.beam("1")) is None
    stations = typed_stations(record, (ROWS[2], ("", " ", ""), *ROWS[:2]))
    assert [station.at for station in stations] == [0, 60, 120]
    record.make(read_ceiling(record, "1", stations, now, who="Wren"))
    made = scribe_of(record.beam("1"))
    assert made is not None
    # Highest less lowest, 15-1/4 - 14-1/8, and 1/8, what the setting can be off by.
    assert made.setting == Fr(9, 8) + Fr(1, 8)
    assert all(mark.gap + mark.cut_depth == made.setting for mark in made.marks)
    assert "needs its place from end 1" in refusing(typed_stations, record, (("0", "14", ""),))
    with pytest.raises(BadInput, match="Measure the ceiling at both ends and the"):
        read_ceiling(record, "1", (), now)


def test_a_ceiling_that_is_not_read_to_the_far_end_makes_no_scribe(record, now) -> None:
    # A run of 171 in: the last station may stand 6 in off its end.
    reading = take.typed_reading(record, "run", "171", now)
    record.make(take.take(record, Spot("1", "B"), "run", reading))
    stations = typed_stations(record, ROWS)
    with pytest.raises(BadInput, match=r"away from it. Measure one within") as short:
        read_ceiling(record, "1", stations, now)
    assert (short.value.facts["end"], short.value.facts["off"]) == (2, 51)
    for last, why in ((Fr(164), "nearest to end 2"), (Fr(178), "past the beam's end")):
        with pytest.raises(BadInput, match=why):
            scribe_of(record.beam("1"), (*stations[:2], stations[2]._replace(at=last)))
    for last in (165, 177):
        assert scribe_of(record.beam("1"), (*stations[:2], stations[2]._replace(at=Fr(last))))


def test_a_higher_side_b_comes_level_with_side_a(record, now) -> None:
    record.make(beams.change_beam(record, "1", {"form": "uneven", "height_b": Fr(12)}, now))
    step = tuple((at, a, str(float(Fr(2) + 14))) for at, a, _ in ROWS)
    record.make(read_ceiling(record, "1", typed_stations(record, step), now))
    made = scribe_of(record.beam("1"))
    assert made is not None
    read = {(s.at, side): s.height(side) for s in typed_stations(record, step) for side in "AB"}
    # A bottom edge hangs at the ceiling's height less the finished side: one line for all.
    assert len({read[m.at, m.side] - m.finished_height for m in made.marks}) == 1
    for mark in made.marks:
        assert mark.finished_height + mark.cut_depth == (12 if mark.side == "B" else 10)


@pytest.mark.parametrize("run", [None, "147"])
def test_places_to_read_come_from_the_runs(record, now, run) -> None:
    if run is None:
        assert usual_places(record.beam("1")) == ()
        return
    one = take.typed_reading(record, "run", run, now)
    record.make(take.take(record, Spot("1", "A"), "run", one))
    assert usual_places(record.beam("1")) == (0, 37, 74, 110, 147)


def nailed(record, step: str):
    spots = [Spot(b.row, "cleats" if step == "fix-cleats" else "bottom") for b in record.beams]
    return batch_settings(record, step, spots).groups


def test_nails_follow_the_boards_unless_the_user_chose(record, now) -> None:
    # 1-1/4 in stays inside two thicknesses of 3/4 in (common practice, no source).
    assert [dict(g.setting)["nail"] for g in nailed(record, "fix-cleats")] == [Fr(5, 4)]
    record.make(change_about(record, {}, {}, {"cleats": "1", "bottom": ""}, now))
    assert [dict(g.setting)["nail"] for g in nailed(record, "fix-cleats")] == [1]
    assert [dict(g.setting)["nail"] for g in nailed(record, "nail-bottom")] == [Fr(5, 4)]


def test_a_thinner_side_afterwards_is_told_on_the_batch_sheet(record, now, refusing) -> None:
    nails = {"cleats": "1-1/4", "bottom": ""}
    record.make(change_about(record, {}, {}, nails, now))
    thin = Section(Fr(6), Fr(8), side_thickness=Fr(1, 2))
    record.make(beams.add_beam(record, "thin", "Hall", now, section=thin))
    good, bad = nailed(record, "fix-cleats")
    assert dict(good.setting)["nail"] == Fr(5, 4)
    assert (bad.machine, [spot.beam for spot in bad.spots]) == ("", ["3"])
    assert "comes through a stack of 1 1/4 in" in bad.why
    longer = nails | {"cleats": "1-3/16"}
    assert "of Hall thin" in refusing(change_about, record, {}, {}, longer, now)
    assert "the same as before" in refusing(change_about, record, {}, {}, nails_shown(record), now)


def test_in_millimetres_nothing_changes_its_measure_by_being_left_alone(record, now) -> None:
    record.make(change_about(record, {"step": "mm"}, {}, {"cleats": "", "bottom": "1"}, now))
    typed = instruments_shown(record) | {"tape": "1"}
    record.make(change_about(record, {}, typed, nails_shown(record), now))
    # 1 in = 25.4 mm exactly (NIST SP 811).
    assert take.read_to(record) == {"tape": 1 / Fr("25.4")}
    assert record.job.nails == {"bottom": Fr(1)}

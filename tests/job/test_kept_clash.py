"""A cut that the beam's other boards can't follow is not kept, and holds them; the rest follows.

How boards meet is worked out here, corner by corner in the beam's section. That a top lies
flush with both sides, and that a pair's cleats hang level, is common practice, no source.
"""

from fractions import Fraction as Fr

import pytest

from crewdesk.errors import NotAllowed
from crewdesk.job.beams import beams
from crewdesk.job.beams.gaps import reveals_off
from crewdesk.job.beams.measured import places_of
from crewdesk.job.beams.piece import Spot
from crewdesk.job.beams.plausibility import doubt
from crewdesk.job.change import Change, edit
from crewdesk.job.cuts.answer_cut import cut_again, keep_cut
from crewdesk.job.cuts.changed_cuts import changed_cuts
from crewdesk.job.cuts.cleats import reveal_of
from crewdesk.job.cuts.cut_figures import KeptCut
from crewdesk.job.cuts.dry_fits import tried
from crewdesk.job.cuts.machine import cuts_of
from crewdesk.job.cuts.mark_list import mark_list
from crewdesk.job.cuts.marks import as_it_is, marks
from crewdesk.job.cuts.open_cuts import open_cuts
from crewdesk.job.steps.ticks import tick
from crewdesk.paper.sheets.cut_pages import words_of
from crewdesk.paper.sheets.labels import labels
from crewdesk.paper.text.cutlist import cut_list
from tests.job.test_cut_figures import Work

WHY = "no more stock"
SIDES = ("A", "B")
MORE = {"uneven": {"height_b": Fr(9)}, "ridge": {"pitch": "6/12"}}


@pytest.fixture
def work(record, now):
    return Work(record, now)


def beam_of(work, form, **section):
    """A beam of a type as row 3; gives the spots of its pieces by key."""
    base = work.record.job.section._replace(**section)
    more = MORE.get(form, {})
    work.make(
        beams.add_beam(work.record, "new", "Hall", work.now(), form=form, section=base, **more)
    )
    return {key: Spot("3", key) for key in work.record.beam("3").pieces}


def section(work, **fields) -> str:
    new = work.record.beam("3").section._replace(**fields)
    return work.make(beams.change_beam(work.record, "3", {"section": new}, work.now()))


def of_type(work, form) -> str:
    return work.make(beams.change_beam(work.record, "3", {"form": form}, work.now()))


def keep(work, spot, step) -> None:
    work.make(keep_cut(work.record, spot, step, WHY, work.now()))


def as_imported(work, spot, step) -> None:
    """Keep a cut past the question, as records did that were made before it was asked."""
    beam = work.record.beam(spot.beam)
    (cut,) = (one for one in changed_cuts(beam) if (one.spot, one.step_id) == (spot, step))
    kept = KeptCut(WHY, work.now(), cut.today).to_doc()
    at = ("beams", spot.beam, "pieces", spot.piece, "steps", step, "kept")
    work.record.make(Change("kept", (edit(work.record.tables, at, kept),), work.now()))


def marked_at(work, spot, line) -> None:
    """Put a cleat line elsewhere than on the partner, as older versions told it."""
    at = ("beams", spot.beam, "pieces", spot.piece, "steps", "cleat-line", "cut", "figures")
    figure = {"cleat_line": {"exact": line, "shown": line}}
    work.record.make(Change("marked", (edit(work.record.tables, at, figure),), work.now()))


def refused(work, spot, step) -> str:
    with pytest.raises(NotAllowed) as caught:
        keep(work, spot, step)
    return str(caught.value)


def made(work, spot):
    beam = work.record.beam(spot.beam)
    return marks(beam, beam.piece(spot.piece), projection=beam.habits.cleat)


def listed(work, spot):
    return {one.id: one for one in mark_list(made(work, spot), spot.piece)}


def inner_corner(thickness: Fr) -> tuple[Fr, Fr]:
    """Where a board's 45 degree miter ends, from the beam's outer corner."""
    return thickness, thickness


def test_a_mitered_corner_closes_between_boards_of_one_thickness(work) -> None:
    assert inner_corner(Fr(1)) != inner_corner(Fr(3, 4))
    spots = beam_of(work, "mitred", side_thickness=Fr(1), bottom_thickness=Fr(1))
    work.tick("rip-side", spots["A"])
    section(work, side_thickness=Fr(3, 4), bottom_thickness=Fr(3, 4))
    said = refused(work, spots["A"], "rip-side")
    assert "side A was ripped from 1 in stock" in said
    assert (
        "Rip it again from 3/4 in stock, or set the thickness of sides and bottom to 1 in." in said
    )
    for key, step in (("B", "rip-side"), ("bottom", "rip-bottom")):
        assert "mitered corners close only" in work.gate(spots[key], step)
    # The fix that was named: the bottom's back then reaches from one inner corner to the other.
    section(work, side_thickness=Fr(1), bottom_thickness=Fr(1))
    assert not open_cuts(work.record)
    assert made(work, spots["bottom"]).back_width == 8 - 2 * inner_corner(Fr(1))[0]
    assert work.state(spots["bottom"], "rip-bottom") == "ready"


@pytest.mark.parametrize("form", ["mitred", "mitred box"])
@pytest.mark.parametrize("keys", [("A",), ("A", "B"), ("bottom",), ("A", "B", "bottom")])
def test_records_that_kept_another_thickness_ask_again(work, form, keys) -> None:
    spots = beam_of(work, form, side_thickness=Fr(1), bottom_thickness=Fr(1))
    for key in keys:
        work.tick(f"rip-{'side' if key in SIDES else key}", spots[key])
    section(work, side_thickness=Fr(3, 4), bottom_thickness=Fr(3, 4))
    for key in keys:
        as_imported(work, spots[key], f"rip-{'side' if key in SIDES else key}")
    assert {one.spot.piece for one in open_cuts(work.record)} == set(keys)
    beam = work.record.beam("3")
    for key in spots:
        if key not in SIDES:
            assert (
                "mitered corners close only"
                in tried(beam, beam.piece(key), work.record.job.step).why
            )
        # No board of a thickness in between, which nobody has.
        assert beam.boards[key].thickness == Fr(3, 4)
        if key not in keys:
            assert work.state(spots[key], f"rip-{'side' if key in SIDES else key}") == "not ready"
    # What is on the bench is named: the fence is set by it.
    mark = listed(work, spots[keys[0]])["thickness"]
    assert (mark.value, mark.today.value, mark.kept) == (1, Fr(3, 4), WHY)
    text = "\n".join(cut_list("hill", work.record).lines)
    assert "stock 1 in thick; as cut, held until you answer; today it would be 3/4 in" in text


def test_a_side_of_other_stock_names_it_on_cut_list_label_and_json(work) -> None:
    spots = beam_of(work, "usual", side_thickness=Fr(1))
    work.tick("rip-side", spots["A"], spots["B"])
    section(work, side_thickness=Fr(3, 4))
    for key in SIDES:
        keep(work, spots[key], "rip-side")
    sheet = cut_list("hill", work.record)
    assert sum("stock 1 in thick; as cut" in line for line in sheet.lines) == 2
    (doc,) = [one for one in sheet.values["beams"] if one["name"] == "new"]
    listed_in_json = {one["id"]: one for one in doc["pieces"][0]["marks"]["list"]}
    assert listed_in_json["thickness"]["value"]["exact"] == "1"
    assert listed_in_json["thickness"]["kept"]["today"]["exact"] == "3/4"
    told = [one.piece for one in labels(work.record, (work.record.beam("3"),))]
    assert sum("stock 1 in" in one for one in told) == 2
    # Between their inner faces, 1 in and 7 in from side A's show face.
    assert made(work, spots["bottom"]).width == 7 - 1


@pytest.mark.parametrize(("was", "now_is"), [("usual", "mitred"), ("box", "mitred box")])
def test_a_square_edge_is_not_kept_where_it_must_be_mitered(work, was, now_is) -> None:
    """Between square sides fits the bottom from 3/4 to 7 1/4; a mitered one is 8 wide."""
    spots = beam_of(work, was)
    work.tick("rip-side", *(spots[key] for key in SIDES))
    of_type(work, now_is)
    said = refused(work, spots["A"], "rip-side")
    assert "It can't be kept" in said
    assert "miter's bevel" in said
    assert "miter's bevel" in work.gate(spots["bottom"], "rip-bottom")
    as_imported(work, spots["A"], "rip-side")
    assert {one.spot.piece for one in open_cuts(work.record)} == set(SIDES)
    side = as_it_is(made(work, spots["A"]))
    assert (side.blade, side.top_blade) == (0, 0)
    assert (side.bottom_joint, side.top_joint) == ("square", "square")
    text = "\n".join(cut_list("hill", work.record).lines)
    assert "bottom edge square; as cut, held until you answer; today it would be 45\u00b0" in text
    (doc,) = [o for o in cut_list("hill", work.record).values["beams"] if o["name"] == "new"]
    assert doc["pieces"][0]["marks"]["bottom_edge"] == {"joint": "square", "blade_deg": 0.0}
    words = words_of(made(work, spots["A"]), "A", ("west", "east"), work.record.job.step)
    assert any(one.startswith("bottom edge square; as cut") for one in words)
    told = [one.piece for one in labels(work.record, (work.record.beam("3"),))]
    assert "mitered" not in next(one for one in told if one.startswith("side A"))


@pytest.mark.parametrize(("was", "now_is"), [("mitred", "usual"), ("mitred box", "box")])
def test_a_mitered_edge_is_not_kept_where_it_must_be_square(work, was, now_is) -> None:
    """At the bottom's show face, 1/4 up, a mitered side of 3/4 is only 1/4 thick: the bottom
    would stand 1/2 in off it."""
    spots = beam_of(work, was)
    work.tick("rip-side", spots["A"])
    of_type(work, now_is)
    assert "its bottom edge is mitered" in refused(work, spots["A"], "rip-side")


def test_along_a_ridge_the_edge_is_shown_as_it_was_cut(work) -> None:
    """atan(6/12) is 26.57 degrees, atan(8/12) is 33.69."""
    spots = beam_of(work, "ridge")
    work.tick("rip-side", spots["A"])
    work.make(beams.change_beam(work.record, "3", {"pitch": "8/12"}, work.now()))
    keep(work, spots["A"], "rip-side")
    mark = listed(work, spots["A"])["back_height"]
    assert abs(mark.deg - 26.565) < 0.001
    assert abs(mark.today.deg - 33.69) < 0.001
    (doc,) = [o for o in cut_list("hill", work.record).values["beams"] if o["name"] == "new"]
    assert abs(doc["pieces"][0]["marks"]["top_blade_deg"] - 26.565) < 0.001
    assert abs(doc["pieces"][0]["marks"]["top_edge"]["blade_deg"] - 26.565) < 0.001


@pytest.mark.parametrize("form", ["box", "mitred box"])
def test_sides_of_two_heights_carry_no_top(work, form) -> None:
    spots = beam_of(work, form, height=Fr(9))
    work.tick("rip-side", spots["A"])
    section(work, height=Fr(10))
    said = refused(work, spots["A"], "rip-side")
    assert "side B is 10 in wide, and the top board goes flush with both" in said
    assert "make both sides 9 in: set the side width to that" in said
    assert "flush" in work.gate(spots["top"], "rip-top")
    # Both ripped alike carry one.
    work.make(cut_again(work.record, spots["A"], "rip-side", work.now()))
    section(work, height=Fr(9))
    work.tick("rip-side", spots["A"], spots["B"])
    section(work, height=Fr(10))
    keep(work, spots["A"], "rip-side")
    keep(work, spots["B"], "rip-side")
    assert not open_cuts(work.record)


@pytest.mark.parametrize("form", ["usual", "uneven", "ridge", "mitred"])
def test_under_a_ceiling_sides_of_two_heights_are_kept(work, form) -> None:
    """They are scribed to it, the wider one by more."""
    spots = beam_of(work, form, height=Fr(9))
    work.tick("rip-side", spots["A"])
    section(work, height=Fr(10))
    keep(work, spots["A"], "rip-side")
    assert not open_cuts(work.record)


def test_a_mitered_bottom_is_as_wide_as_the_beam(work) -> None:
    spots = beam_of(work, "mitred", width=Fr(9))
    work.tick("rip-bottom", spots["bottom"])
    section(work, width=Fr(8))
    said = refused(work, spots["bottom"], "rip-bottom")
    assert "Cut it again, or set the beam's width to 9 in." in said
    section(work, width=Fr(9))
    assert not open_cuts(work.record)


def to_line(work, spots, *keys) -> None:
    for step in ("rip-side", "ease", "sand", "cleat-line"):
        work.tick(step, *(spots[key] for key in keys))


@pytest.mark.parametrize("form", ["usual", "uneven", "box"])
def test_a_side_not_marked_yet_follows_its_kept_partner(work, form) -> None:
    """Reveal 1/4 and a bottom of 3/4: 1 in. The section says 1/2 and 1 1/4 now."""
    spots = beam_of(work, form)
    to_line(work, spots, "A")
    section(work, reveal=Fr(1, 2))
    keep(work, spots["A"], "cleat-line")
    assert made(work, spots["B"]).cleat_line == 1
    beam = work.record.beam("3")
    (cut,), _ = cuts_of(work.record.job, beam, beam.piece("B"), "cleat-line")
    assert cut.parts[0].value == 1
    if "cleats" in spots:
        assert [one.line for one in made(work, spots["cleats"]).cleats] == [1, 1]
    to_line(work, spots, "B")
    assert work.mark(spots["B"], "cleat-line").cut.figures["cleat_line"].exact == 1
    assert not open_cuts(work.record)


def test_a_tilted_bottoms_lines_stay_as_far_apart(work) -> None:
    """Drops of 10 and 11: the lines are not level; B's is moved by as much as A's."""
    spots = beam_of(work, "ridge")
    work.make(beams.change_beam(work.record, "3", {"height_b": Fr(11)}, work.now()))
    apart = made(work, spots["B"]).cleat_line - made(work, spots["A"]).cleat_line
    to_line(work, spots, "A")
    kept_at = work.mark(spots["A"], "cleat-line").cut.figures["cleat_line"].exact
    section(work, reveal=Fr(1, 2))
    keep(work, spots["A"], "cleat-line")
    assert abs(made(work, spots["B"]).cleat_line - kept_at - apart) < Fr(1, 1000)
    assert apart > Fr(1, 16)


def test_cleat_lines_that_differ_are_not_both_kept(work) -> None:
    """1 in and 1 1/4 in: the bottom would lie 1/4 in askew on its cleats."""
    spots = beam_of(work, "usual")
    to_line(work, spots, "A")
    section(work, reveal=Fr(1, 2))
    for step in ("rip-side", "ease", "sand"):
        work.tick(step, spots["B"])
    assert "is held until you answer" in work.gate(spots["B"], "cleat-line")
    past = tick(work.record, spots["B"], "cleat-line", work.now(), override="in a hurry")
    work.make(past)
    assert work.mark(spots["B"], "cleat-line").cut.figures["cleat_line"].exact == 1
    marked_at(work, spots["B"], "5/4")
    keep(work, spots["A"], "cleat-line")
    assert {(one.spot.piece, one.step_id) for one in open_cuts(work.record)} == {
        ("B", "cleat-line")
    }
    said = refused(work, spots["B"], "cleat-line")
    assert "side A's line was kept at 1 in, so the bottom would hang 1/4 in askew" in said
    # Of records that kept both, the one asks that isn't what the section makes.
    as_imported(work, spots["B"], "cleat-line")
    assert {one.spot.piece for one in open_cuts(work.record)} == {"A"}
    beam = work.record.beam("3")
    assert "askew" in tried(beam, beam.piece("bottom"), work.record.job.step).why
    work.make(cut_again(work.record, spots["A"], "cleat-line", work.now()))
    assert not open_cuts(work.record)
    assert made(work, spots["A"]).cleat_line == Fr(5, 4)


def test_the_reveal_is_the_one_that_kept_lines_leave(work) -> None:
    """Lines at 1 in over a bottom of 3/4 leave 1/4, whatever the section says since."""
    spots = beam_of(work, "usual")
    to_line(work, spots, "A", "B")
    section(work, reveal=Fr(1, 2))
    keep(work, spots["A"], "cleat-line")
    assert reveal_of(work.record.beam("3")) == Fr(1, 4)
    work.read(spots["bottom"], "reveal", "1/4")
    beam = work.record.beam("3")
    assert doubt(beam, beam.piece("bottom"), "reveal") is None
    assert reveals_off(work.record) == (0,)
    work.read(spots["bottom"], "reveal", "1/2")
    beam = work.record.beam("3")
    assert "off the kept cleat line's 1/4 in" in (doubt(beam, beam.piece("bottom"), "reveal") or "")


def test_no_bottom_hangs_below_the_side(work) -> None:
    """A line at 1 in over a bottom of 5/4: it would come 1/4 below."""
    spots = beam_of(work, "usual")
    to_line(work, spots, "A")
    section(work, bottom_thickness=Fr(5, 4))
    said = refused(work, spots["A"], "cleat-line")
    assert "the bottom would hang 1/4 in below the side. Mark it again." in said


def test_a_beveled_top_edge_carries_no_top_board(work) -> None:
    """Under 6/12 the back of a 3/4 side is 3/8 higher than its show face."""
    spots = beam_of(work, "ridge")
    work.tick("rip-side", spots["A"], spots["B"])
    of_type(work, "box")
    assert "its top edge is beveled" in refused(work, spots["A"], "rip-side")


def test_a_bottom_that_does_not_reach_the_wall_is_not_kept(work) -> None:
    """From the side's back at 3/4 to the wall at 8 are 7 1/4; 1/4 is there to be scribed."""
    spots = beam_of(work, "wall", width=Fr(15, 2))
    work.tick("rip-bottom", spots["bottom"])
    ripped = Fr(15, 2) - Fr(3, 4) + Fr(1, 4)
    section(work, width=Fr(8))
    lacks = Fr(29, 4) - ripped
    assert lacks == Fr(1, 4)
    said = refused(work, spots["bottom"], "rip-bottom")
    assert "it is 1/4 in too narrow to reach the wall" in said
    assert work.state(spots["A"], "rip-side") == "ready"
    # 1/8 narrower than it was leaves 1/8 to scribe.
    section(work, width=Fr(61, 8))
    keep(work, spots["bottom"], "rip-bottom")
    beam = work.record.beam("3")
    cuts, _ = cuts_of(work.record.job, beam, beam.piece("bottom"), "scribe-wall")
    opening, left = cuts[0].parts
    assert (opening.value, left.value) == (Fr(1, 8), Fr(61, 8) - Fr(3, 4))
    assert listed(work, spots["bottom"])["scribe_stock"].value == Fr(1, 8)


@pytest.mark.parametrize("thick", ["A", "B"])
def test_between_sides_of_two_thicknesses_the_bottom_lies_off_the_middle(work, thick) -> None:
    """Sides of 1 in and 3/4: inner faces 6 1/4 apart; the bottom's middle is 1/8 off the beam's."""
    spots = beam_of(work, "usual", side_thickness=Fr(1))
    work.tick("rip-side", spots[thick])
    section(work, side_thickness=Fr(3, 4))
    keep(work, spots[thick], "rip-side")
    beam = work.record.beam("3")
    assert beam.boards["bottom"].width == 8 - 1 - Fr(3, 4)
    edge_a, edge_b = places_of(beam, beam.piece("bottom"))
    left, right = (1, Fr(29, 4)) if thick == "A" else (Fr(3, 4), 7)
    assert (edge_a, edge_b) == (left, right)

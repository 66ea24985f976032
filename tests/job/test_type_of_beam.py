"""Every type of beam: its steps, nails, cleats and texts fit what it is made of."""

from fractions import Fraction as Fr
from itertools import product

import pytest

from crewdesk.errors import NotAllowed
from crewdesk.job.beams import beams, take
from crewdesk.job.beams.forms import FORMS
from crewdesk.job.beams.piece import Spot
from crewdesk.job.cuts.batches import batch_settings
from crewdesk.job.cuts.cleats import cleat_line_of, cleats_of
from crewdesk.job.cuts.machine import cleat_lengths
from crewdesk.job.cuts.scribing import read_ceiling, scribe_of, typed_stations
from crewdesk.job.lumber.boards import change_rules
from crewdesk.length import DEFAULT_STEP, show_length
from crewdesk.paper.text.cutlist import cut_list, scribe_line
from crewdesk.paper.text.notes import scribe_json, scribe_lines, station_rows
from crewdesk.paper.text.settings_text import notes_told
from crewdesk.trade.cuts.section import Section

MORE = {"uneven": {"height_b": Fr(9)}, "ridge": {"pitch": "6/12"}}
SCRIBED = ("usual", "uneven", "wall", "ridge", "mitred")
CLEATED = ("usual", "uneven", "wall", "ridge", "box")
BENT = (("0", "14", "14"), ("60", "14-1/2", "14-1/4"), ("120", "14-1/4", "14-3/4"))


def new(record, now, form, **more):
    """A beam of a type, as row 3; its boards read at both ends between plumb walls."""
    section = more.pop("section", None)
    more = {**MORE.get(form, {}), **more}
    record.make(beams.add_beam(record, "new", "Hall", now, form=form, section=section, **more))
    for key in ("A", "B"):
        if key in record.beam("3").pieces:
            for what, text, lean in (("run", "120", ""), ("end1", "0", "in"), ("end2", "0", "in")):
                one = take.typed_reading(record, what, text, now, lean=lean, level="24")
                record.make(take.take(record, Spot("3", key), what, one))
    return record.beam("3")


def steps_of(record, beam, key):
    piece = beam.piece(key)
    return {one.id for one in record.stages.steps_of(piece.kind, piece.traits)}


@pytest.mark.parametrize("form", FORMS)
def test_the_steps_fit_the_type(record, now, form) -> None:
    """Common practice, no source: who is scribed is taped, tacked and taken down; butted edges
    are eased and mitered ones are not; a bottom lies on cleats or is glued at its miters."""
    beam = new(record, now, form)
    of_ceiling = {"tape", "scrape", "tack", "level", "scribe", "take-down", "cut-scribe"}
    for key in (key for key in beam.pieces if key in "AB"):
        steps = steps_of(record, beam, key)
        assert (steps & (of_ceiling | {"tape-off"})) == (
            of_ceiling | {"tape-off"} if form in SCRIBED else set()
        )
        assert ("ease" in steps) == ("mitred" not in form)
        assert ("cleat-line" in steps) == (form in CLEATED)
    assert ("cleats" in beam.pieces) == (form in CLEATED)
    bottom = steps_of(record, beam, "bottom")
    assert ("nail-bottom" in bottom) == (form in CLEATED)
    assert ("glue-bottom" in bottom) == (form not in CLEATED)
    assert ("scribe-wall" in bottom) == (form == "wall")
    names = [
        step.name
        for piece in beam.pieces.values()
        for step in record.stages.steps_of(piece.kind, piece.traits)
    ]
    if form == "wall":
        assert not [name for name in names if "pair" in name or "both sides" in name]
    if form not in CLEATED:
        assert not [name for name in names if "cleat" in name]
    if form not in SCRIBED:
        assert not [name for name in names if "ceiling" in name.casefold()]


@pytest.mark.parametrize(
    ("form", "cleat", "thick"),
    product(FORMS, ("1/2", "3/4", "1 1/2"), (Fr(1, 2), Fr(3, 4), Fr(1))),
)
def test_no_nail_comes_through(record, now, form, cleat, thick) -> None:
    """Each nail against all it passes through, with the head set 1/16 in below the face and 1/8
    in behind its point (common practice, no source)."""
    off = sum(Fr(part) for part in cleat.split())
    if cleat != "3/4":
        record.make(change_rules(record, {"cleat": cleat}, now))
    section = Section(Fr(8), Fr(10), side_thickness=thick, bottom_thickness=thick)
    beam = new(record, now, form, section=section)
    stacks = {
        ("fix-cleats", "cleats"): off + thick,
        # Up through the bottom into the height of the cleat, which is as thick as its stock.
        ("nail-bottom", "bottom"): thick + thick,
        ("glue-bottom", "bottom"): thick + thick,
        # A miter is glued too. In a square edge of 1/2 in stock the nail may be longer: it must
        # hold 3/8 in, and all of the top's width is behind it.
        ("fix-top", "top"): thick + thick if "mitred" in form else max(2 * thick, Fr(19, 16)),
    }
    checked = 0
    for (step, key), stack in stacks.items():
        if key not in beam.pieces or step not in steps_of(record, beam, key):
            continue
        for group in batch_settings(record, step, [Spot("3", key)]).groups:
            for part, length in group.setting:
                if part == "nail":
                    checked += 1
                    assert length + Fr(1, 16) + Fr(1, 8) <= stack
                    assert length > (off if step == "fix-cleats" else thick)
                    if step == "fix-top" and form == "box":
                        assert length - thick >= Fr(3, 8)
        if step == "fix-cleats":
            told = " ".join(notes_told(group))
            assert "sawn face goes against the side" in told or "gets past" in group.why
    assert checked or "gets past" in group.why


@pytest.mark.parametrize("form", ["wall"])
def test_a_cleat_on_a_wall_is_nailed_into_its_framing(record, now, form) -> None:
    new(record, now, form)
    [group] = batch_settings(record, "wall-cleat", [Spot("3", "cleats")]).groups
    # Past the cleat and the drywall, as long as 16 gauge finish nails are sold (common practice).
    assert dict(group.setting) == {"nail": Fr(5, 2)}
    assert "sawn face goes against the wall" in " ".join(notes_told(group))
    assert notes_told(group)[-1].startswith("! Look for wires")
    # The bottom's 3/4 in over a reveal of 1/4 in.
    told = group.own[Spot("3", "cleats")]
    assert told.endswith("; its lower edge 1 in up from side A's bottom edge, all along")


@pytest.mark.parametrize("form", SCRIBED)
def test_the_lowest_side_is_taken_over_the_sides_there_are(record, now, form) -> None:
    beam = new(record, now, form)
    record.make(read_ceiling(record, "3", typed_stations(record, BENT), now))
    beam = record.beam("3")
    made = scribe_of(beam)
    keys = {key for key in beam.pieces if key in "AB"}
    # By hand: where the ceiling is lowest over a side, the most comes off it.
    finished = [one.finished_height for one in made.marks if one.side in keys]
    assert made.lowest_drop == min(finished)
    told = [*scribe_lines(made, DEFAULT_STEP, beam), scribe_line(beam, DEFAULT_STEP)]
    if keys == {"A"}:
        assert not [line for line in told if "both sides" in line or "side B" in line]
        assert {row[0] for row in station_rows(made, DEFAULT_STEP, beam)} == {"A"}
    else:
        assert sum("both sides" in line for line in told) == 2
    assert {one["side"] for one in scribe_json(beam, made, DEFAULT_STEP)["marks"]} == keys


@pytest.mark.parametrize("form", ["usual", "uneven"])
def test_a_drop_that_the_lower_side_cannot_reach_is_warned_of(record, now, form) -> None:
    """Side B of an uneven beam starts 9 in wide, so 9 1/4 in is refused; a depth that the ceiling
    takes it below is warned of."""
    if form == "uneven":
        with pytest.raises(NotAllowed, match="side B is only 9 in wide"):
            new(record, now, form, drop=Fr(37, 4))
    drop = Fr(37, 4) if form == "usual" else Fr(9)
    new(record, now, form, drop=drop)
    middle = "14" if form == "usual" else "14.25"
    even = (("0", "14", "14"), ("60", middle, middle), ("120", "14", "14"))
    record.make(read_ceiling(record, "3", typed_stations(record, even), now))
    made = scribe_of(record.beam("3"))
    assert made.meets_drop == (form == "usual")
    warned = f"less than the {show_length(drop, DEFAULT_STEP)} in" in "\n".join(
        cut_list("hill", record, "new").lines
    )
    assert warned == (form == "uneven")


@pytest.mark.parametrize(("pitch", "low"), [("12/12", 1), ("6/12", 2), (None, 1)])
def test_the_cleat_on_the_wall_starts_clear_of_the_end_wall(record, now, pitch, low) -> None:
    """A plumb wall comes in by the pitch per inch up at the low end, and goes out by it at the
    high one; the cleat's ends are square and 3/4 in high: at the low end its upper edge is
    3/4 x pitch nearer the wall than its lower one. 1/16 in is left at either end."""
    more = {"ceiling": "sloped", "pitch": pitch, "low": low} if pitch else {}
    beam = new(record, now, "wall", **more)
    on_wall = cleats_of(beam)[1]
    nearer = Fr(3, 4) * (Fr(pitch) if pitch else 0)
    assert float(on_wall.start) == pytest.approx(Fr(1, 16) + (nearer if low == 1 else 0))
    assert float(on_wall.length) == pytest.approx(120 - nearer - Fr(1, 8))
    no_scribe = beam._replace(ways={"side": frozenset()})
    words = cleat_lengths(no_scribe, no_scribe.piece("cleats"), ("wall",), DEFAULT_STEP)
    start = show_length(on_wall.start, DEFAULT_STEP, way="up")
    assert f"from {start} in off the end wall at end 1, along its lower edge" in words


def test_a_cleat_reaches_no_farther_than_its_relief_over_a_tilted_bottom(record, now) -> None:
    """Drops of 10 and 6 over 6 in between the sides, 1 in stock with 1/8 in flat under 30
    degrees: the back's corner is 0.975 in off the higher side, a cleat of 3/4 reaches less. Along
    the relief it is 0.9406 up there, by shapely's drawing; the corner is at 1.0518."""
    section = Section(
        Fr(8), Fr(10), Fr(1), bottom_thickness=Fr(1), flat=Fr(1, 8), bevel=Fr(30), reveal=Fr(1, 2)
    )
    beam = new(record, now, "ridge", section=section, height_b=Fr(6))
    assert float(cleat_line_of(beam, "B", Fr(3, 4))) == pytest.approx(0.9406, abs=0.0001)

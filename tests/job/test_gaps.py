"""Gaps at the fix-up: noted, changed, taken out, undone; their wedge, and published limits."""

import math
from fractions import Fraction as Fr

import pytest

from crewdesk.errors import CrewdeskError
from crewdesk.job.beams import take
from crewdesk.job.beams.gaps import drop_gap, keep_gap, places, typed_gap
from crewdesk.job.steps.ticks import Spot
from crewdesk.job.sync.exchange import from_document, to_document
from crewdesk.length import DEFAULT_STEP
from crewdesk.paper.text.cutlist import cut_list
from crewdesk.paper.text.exceptions_report import gap_cautions, gap_line
from crewdesk.paper.text.progress import progress

SIDE, BOTTOM = Spot("1", "A"), Spot("1", "bottom")
TYPED = {
    "width": "1/16",
    "where": "end 1",
    "cause": "level held on the drywall's bulge",
    "cure": "wedge",
    "stock": "3/4",
    "bevel": "5",
}


def gap(record, spot, now, **typed):
    return typed_gap(record, spot, {**TYPED, **typed}, now, who="Wren")


def test_a_gap_is_kept_with_its_wedge_and_goes_out_and_in(record, now) -> None:
    record.make(keep_gap(record, SIDE, gap(record, SIDE, now), now))
    (kept,) = record.beam("1").piece("A").gaps
    assert kept == gap(record, SIDE, now)
    # An isosceles triangle of 2 x 5 degrees: depth = gap / (2 tan 5), math.tan.
    assert float(kept.wedge.seats_at) == pytest.approx(1 / 32 / math.tan(math.radians(5)))
    tables, _ = from_document(to_document(record.tables, []))
    assert tables["beams"] == record.tables["beams"]
    line = "gap 1/16 in at end 1, level held on the drywall's bulge: wedge of 3/4 in ripped at 5"
    assert line in gap_line(kept, DEFAULT_STEP)
    assert any(line in one for one in cut_list("id", record).lines)
    assert any(line in one for one in progress("id", record).lines)
    (value,) = progress("id", record).values["gaps"]
    assert (value["piece"], value["wedge"]["included_deg"]) == ("A", 10)


def test_a_gap_has_its_place_along_the_beam(record, now) -> None:
    here = gap(record, SIDE, now, where="ceiling", along="40-1/2")
    record.make(keep_gap(record, SIDE, here, now))
    tables, _ = from_document(to_document(record.tables, []))
    assert tables["beams"]["1"]["pieces"]["A"]["gaps"][0]["along"] == "81/2"
    (kept,) = record.beam("1").piece("A").gaps
    assert kept.along == Fr(81, 2)
    line = "gap 1/16 in at the ceiling, 40 1/2 in from end 1, level held on the drywall's bulge"
    assert line in gap_line(kept, DEFAULT_STEP)
    (value,) = progress("id", record).values["gaps"]
    assert value["along"]["exact"] == "81/2"
    # Without one, and a gap at an end, it is as before.
    assert gap(record, SIDE, now, where="ceiling", along=" ").along is None
    assert "along" not in gap(record, SIDE, now).to_doc()


def test_a_gap_s_place_is_on_its_piece(record, now, read_run) -> None:
    read_run("147")
    for typed, words in (
        ({"where": "end 2", "along": "3"}, "A gap at end 2 has no distance from end 1"),
        ({"where": "ceiling", "along": "148"}, "past the end of side A, which is 147 in long"),
        ({"where": "ceiling", "along": "-3"}, "length"),
    ):
        with pytest.raises(CrewdeskError, match=words):
            gap(record, SIDE, now, **typed)
    assert gap(record, SIDE, now, where="ceiling", along="147").along == 147


@pytest.fixture
def read_run(record, now):
    """Take a length of side A wall to wall."""

    def take_one(text: str) -> None:
        record.make(take.take(record, SIDE, "run", take.typed_reading(record, "run", text, now)))

    return take_one


def test_gaps_are_changed_and_taken_out_one_by_one(record, now, refusing) -> None:
    for where in ("1", "2", "ceiling"):
        record.make(keep_gap(record, SIDE, gap(record, SIDE, now, where=where), now))
    caulked = gap(record, SIDE, now, where="end 2", cure="c")
    record.make(keep_gap(record, SIDE, caulked, now, at=1))
    assert [one.cure for one in record.beam("1").piece("A").gaps] == ["wedge", "caulk", "wedge"]
    change = drop_gap(record, SIDE, 0, now)
    record.make(change)
    assert [one.where for one in record.beam("1").piece("A").gaps] == ["end 2", "ceiling"]
    record.make(change.taken_back(1, now))
    assert len(record.beam("1").piece("A").gaps) == 3
    assert "there any more. Nothing" in refusing(drop_gap, record, SIDE, 3, now)


@pytest.mark.parametrize(
    ("spot", "where", "width", "over"),
    [
        # Architectural Woodwork Standards, 1st ed. 2009, p. 331: wood to other .050 in, wood
        # to wood, flat, .012 in.
        (SIDE, "end 1", "0.050", False),
        (SIDE, "end 1", "0.051", True),
        (SIDE, "ceiling", "1/16", True),
        (SIDE, "bottom", "0.012", False),
        (SIDE, "bottom", "0.013", True),
        (BOTTOM, "edge B", "1/64", True),
        (BOTTOM, "end 2", "3/64", False),
    ],
)
def test_a_gap_over_the_published_limit_is_told_with_the_source(
    record, now, spot, where, width, over
) -> None:
    told = gap_cautions(gap(record, spot, now, where=where, width=width), DEFAULT_STEP)
    assert bool(told) is over
    if over:
        assert "Architectural Woodwork Standards, 1st ed. 2009, p. 331" in told[0]
        wood = where in ("bottom", "edge B")
        assert f"{'12' if wood else '50'} thousandths" in told[0]


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"width": "3/16"}, "a bevel of 7.2 degrees"),
        ({"width": "0"}, "more than zero"),
        ({"width": "2"}, "A gap of 2 in can't be right"),
        ({"width": ""}, "length"),
        ({"where": "end"}, "Type where the gap is: end 1, end 2, ceiling, bottom. You typed end."),
        ({"where": "edge A"}, "You typed edge A"),
        ({"cure": "putty"}, "wedge, caulk"),
        ({"bevel": "60"}, "at most 45"),
        ({"stock": "0"}, "thick"),
    ],
)
def test_what_won_t_do_is_told_in_a_sentence(record, now, typed, words) -> None:
    with pytest.raises(CrewdeskError) as caught:
        gap(record, SIDE, now, **typed)
    assert words in str(caught.value)


def test_a_gap_needs_its_cause_and_a_place_on_its_piece(record, now, refusing) -> None:
    bare = gap(record, SIDE, now, cause=" ")
    assert "what made the gap" in refusing(keep_gap, record, SIDE, bare, now)
    assert "No gap shows" in refusing(gap, record, Spot("1", "cleats"), now)
    assert places(record.beam("1").piece("bottom")) == ("end 1", "end 2", "edge A", "edge B")
    assert gap(record, BOTTOM, now, where="b").where == "edge B"
    # math: tan(7.2 degrees) x 2 x 3/4 is just over 3/16.
    assert 1.5 * math.tan(math.radians(7.1)) < Fr(3, 16) < 1.5 * math.tan(math.radians(7.2))

"""Which way a bottom or top board lies at the miter saw, and which end touches the stop.

Derived by hand: a bottom with its show face up and edge A away has end 1 at the left, for it is
seen from below; a top's show face is its upper one, so it has end 1 at the right.
"""

import math
from fractions import Fraction as Fr

import pytest

from crewdesk.job.beams import beams
from crewdesk.job.beams.beams import find_beam
from crewdesk.job.beams.in_plan import TypedSquare, read_squares
from crewdesk.job.cuts.end_settings import end_cuts
from crewdesk.job.cuts.machine import cuts_of
from crewdesk.length import DEFAULT_STEP, STEPS
from crewdesk.trade.cuts.board_end import EdgeProfile, WallAt, board_ends
from crewdesk.trade.cuts.section import Section
from crewdesk.trade.cuts.shop_machine import USUAL_MACHINE, ShopMachine
from crewdesk.trade.read_length import read_length
from tests.job.test_cut_figures import Work
from tests.job.test_kept_clash import beam_of

USUAL = EdgeProfile(Fr(3, 4), Fr(1, 4), Fr(15))


def cuts(walls: tuple[WallAt, WallAt], edges: tuple[Fr, Fr], *, top: bool = False):
    ends = board_ends(USUAL, Fr(13, 2), edges, walls)
    made = end_cuts(edges[0], ends, (), USUAL_MACHINE, DEFAULT_STEP, top=top)
    assert made is not None
    return made


def test_a_top_lies_the_other_way_round() -> None:
    """Its back down and edge A against the fence, end 2 of a top is at the left: board and stop
    are right of the blade there, and the blade leans left, away from the board."""
    walls = (WallAt(Fr(0), Fr(0)), WallAt(Fr(1, 12), Fr(0)))
    edges = (Fr(100), Fr(100))
    bottom, top = (
        next(one for one in cuts(walls, edges, top=is_top) if "bevel to length" in one.name)
        for is_top in (False, True)
    )
    # A saw that tilts left cuts the bottom's end 2 with the board turned end for end.
    assert bottom.placed == "stop right of the blade"
    assert "The blade leans left." in bottom.notes
    assert "turned end for end" in bottom.notes[0]
    assert top.placed == "stop right of the blade"
    assert "The blade leans left." in top.notes
    assert "turned" not in top.notes[0]


@pytest.mark.parametrize(("skew", "end"), [(Fr(-1, 24), 2), (Fr(1, 24), 0)])
def test_the_stop_touches_the_far_end(skew: Fr, end: int) -> None:
    """End 1 slants, end 2 is square. Where edge B runs past at end 1, a stop across the board
    would meet B's point while end 2 is cut; while end 1 is cut it meets a square end."""
    edges = (Fr(100), Fr(100) - skew * Fr(13, 2))
    warned = [
        one.name
        for one in cuts((WallAt(Fr(0), skew), WallAt(Fr(0), Fr(0))), edges)
        if any("edge A's corner only" in note for note in one.notes)
    ]
    assert all(name.endswith("end 2") for name in warned)
    assert bool(warned) == bool(end)


def test_the_relief_is_worked_from_the_length_as_it_was_set() -> None:
    """100.01 is set as 100: the back then is 100 - (2 - sqrt 3) / 2 / 2 at one end."""
    walls = (WallAt(Fr(0), Fr(0)), WallAt(Fr(0), Fr(0)))
    made = cuts(walls, (Fr("100.01"), Fr("100.01")))
    stop = made[-1].parts[-1].value
    assert float(stop) == pytest.approx(100 - 0.5 * (2 - 3**0.5))


@pytest.mark.parametrize("skew", [Fr(0), Fr(1, 24), Fr(1, 3)])
@pytest.mark.parametrize("step", ["1/16", "1/32", "mm"])
@pytest.mark.parametrize("bevel", [5, 15, 30])
@pytest.mark.parametrize("flat", [Fr(0), Fr(10, 254), Fr(1, 4)])
def test_a_rounded_stop_never_cuts_into_the_show_face(skew, step, bevel, flat) -> None:
    """By the plane of each relief, from its stop as it is set with the back down: how high up from
    the show face it enters the end."""
    profile = EdgeProfile(Fr(3, 4), flat, Fr(bevel))
    edges = (Fr(100), Fr(100) - skew * Fr(13, 2))
    ends = board_ends(profile, Fr(13, 2), edges, (WallAt(Fr(0), skew), WallAt(Fr(0), Fr(0))))
    made = end_cuts(edges[0], ends, (), ShopMachine(), STEPS[step])
    reliefs = [one for one in made if one.name.startswith("relief")]
    assert reliefs
    length = next(
        one.parts[-1].as_set(STEPS[step])[0]
        for one in made
        if one.parts[-1].name == "stop on edge A"
    )
    for one in reliefs:
        (_, blade), (_, miter), (name, _) = (part[:2] for part in one.parts)
        slant = math.cos(math.radians(float(miter)))
        stop = one.parts[-1].as_set(STEPS[step])[0]
        past = length - (edges[0] - edges[1] if name.startswith("stop on edge B") else 0)
        left = 0.75 - float(past - stop) * slant / math.tan(math.radians(float(blade)))
        assert left >= float(flat) - 1e-9
        told = next(note for note in one.notes if note.startswith("Leaves "))
        text = told.removeprefix("Leaves ").split(" flat")[0].replace("-", "").replace("+", "")
        told_flat = read_length(text, unit="mm" if step == "mm" else "in")
        assert float(told_flat) == pytest.approx(min(left, 0.75), abs=1 / 32 + 1e-9)


@pytest.mark.parametrize("down", ["back", "show"])
@pytest.mark.parametrize("skew", [Fr(0), Fr(1, 24)])
def test_each_pass_says_the_face_that_is_down_and_the_side_of_the_stop(down, skew) -> None:
    """With the back down and edge A against the fence, end 1 is at the left, so while it is cut
    the board and its stop are right of the blade; the other way round with the show face down."""
    edges = (Fr(100), Fr(100) - 2 * skew * Fr(13, 2))
    ends = board_ends(USUAL, Fr(13, 2), edges, (WallAt(Fr(0), skew), WallAt(Fr(0), skew)))
    made = end_cuts(edges[0], ends, (), ShopMachine(face_down=down), DEFAULT_STEP)
    face = "Back down, " if down == "back" else "Show face down, "
    assert len(made) == (4 if skew else 2)
    for one in made:
        assert one.notes[0].startswith(face), one
        has_stop = any(part.name.startswith("stop on") for part in one.parts)
        assert has_stop == one.placed.startswith("stop "), one
        if one.name == "cut to length, end 2":
            side = "left" if down == "back" else "right"
            assert one.placed == f"stop {side} of the blade"


def test_mitered_boards_of_unlike_thickness_get_no_setting(record, now) -> None:
    """As they can come in from a file: the sentence stands in the setting's place."""
    record.make(beams.add_beam(record, "new", "Attic", now, form="mitred"))
    beam = find_beam(record, "Attic new")
    thin = beam._replace(section=Section(Fr(8), Fr(10), bottom_thickness=Fr(1, 2)))
    for key, step_id in (("A", "rip-side"), ("bottom", "rip-bottom"), ("bottom", "cut-bottom")):
        made, why = cuts_of(record.job, thin, thin.piece(key), step_id)
        assert made == ()
        assert "one thickness" in why


@pytest.mark.parametrize(("comes_in", "by_hand"), [(Fr(1), False), (Fr(25, 24), True)])
def test_a_bevel_over_45_degrees_is_not_asked_of_a_saw(comes_in: Fr, by_hand: bool) -> None:
    """The arctangent of 25/24 is 46.17 degrees (tables): cut square to the show face's length,
    then 3/4 x 25/24 comes off the back by hand."""
    walls = (WallAt(comes_in, Fr(0)), WallAt(Fr(0), Fr(0)))
    made = cuts(walls, (Fr(100), Fr(100)))
    sawn = [one for one in made if one.machine == "miter saw"]
    assert all(float(dict(tilts(one))["blade tilt"]) <= 45 for one in sawn)
    hand = [one for one in made if one.machine == "hand saw or jig"]
    assert bool(hand) == by_hand
    if hand:
        assert dict(tilts(hand[0]))["back shorter by"] == Fr(25, 32)
        assert float(dict(tilts(hand[0]))["bevel off square"]) == pytest.approx(46.17, abs=5e-3)
        assert dict(tilts(sawn[0]))["stop on edge A"] == 100
        assert hand[0].turn > max(one.turn for one in sawn if "length" in one.name)
        assert any(
            "46.17\u00b0 is steeper" in one and "47\u00b0 or 48" in one for one in hand[0].notes
        )


def tilts(cut):
    return [(part.name, part.value) for part in cut.parts]


def notes_of(cut) -> str:
    return " ".join(cut.notes)


@pytest.mark.parametrize("top", [False, True])
@pytest.mark.parametrize("down", ["back", "show"])
@pytest.mark.parametrize("hand", ["left", "right", "both"])
def test_a_saw_that_tilts_one_way_has_a_figure_for_each_end(hand, down, top) -> None:
    """Both ends beveled and slanted, edge B past edge A by 1/4 at each. On a saw that tilts one
    way, the end that leans the other way is cut turned end for end, its stop on edge B: 1/2 more
    than on edge A. Turned by 180 degrees the blade leans the saw's way over the same cut."""
    walls = (WallAt(Fr(1, 12), Fr(-1, 26)), WallAt(Fr(1, 12), Fr(-1, 26)))
    ends = board_ends(USUAL, Fr(13, 2), (Fr(100), Fr(201, 2)), walls)
    machine = ShopMachine(tilts="right", face_down=down, miter_tilts=hand)
    made = end_cuts(Fr(100), ends, (), machine, DEFAULT_STEP, top=top)
    assert made is not None
    first, second = made
    for end, one in enumerate((first, second), 1):
        leans = "left" if (end == 1) != top else "right"
        turned = hand not in ("both", leans)
        assert ("turned end for end: edge B against the fence" in notes_of(one)) == turned
        assert f"The blade leans {hand if turned else leans}." in notes_of(one)
    # The first end has no stop: more than 100 1/4 must stay, since edge B needs 1/4 past edge A
    # at the other end.
    turned = hand not in ("both", "right" if top else "left")
    assert ("cut where more than 100 1/4 in stays along edge A" in notes_of(first)) == turned
    # Back down the blade comes through the table 3/4 x 1/12 short of the show face.
    short = Fr(1, 16) if down == "back" else Fr(0)
    turned = hand not in ("both", "left" if top else "right")
    name, edge = ("B", Fr(201, 2)) if turned else ("A", Fr(100))
    assert dict(tilts(second))[f"stop on edge {name}, at the table"] == pytest.approx(edge - short)


@pytest.mark.parametrize("down", ["back", "show"])
def test_a_stop_touches_the_corner_that_its_figure_is_for(down) -> None:
    """End 1 is beveled first, its back shorter by 3/4 x 1/12. With the back down its long corner
    is on top, and a low stop would let the board slide 1/16 farther: too long."""
    walls = (WallAt(Fr(1, 12), Fr(0)), WallAt(Fr(0), Fr(0)))
    ends = board_ends(USUAL, Fr(13, 2), (Fr(100), Fr(100)), walls)
    made = end_cuts(Fr(100), ends, (), ShopMachine(face_down=down), DEFAULT_STEP)
    assert made is not None
    first, length, relief = made
    assert not any(part.name.startswith("stop") for part in first.parts)
    for one in (length, relief):
        assert ("as tall as the board, touching the top corner" in notes_of(one)) == (
            down == "back"
        )
        assert "counts at" not in notes_of(one)


def test_a_stop_against_a_square_end_may_be_of_any_height() -> None:
    """Both ends square: cut to length with any stop; relieved, the second end's far one is
    relieved already and longest at its flat, on top."""
    length, relief = cuts((WallAt(Fr(0), Fr(0)), WallAt(Fr(0), Fr(0))), (Fr(100), Fr(100)))
    assert "tall" not in notes_of(length)
    assert "as tall as the board" in notes_of(relief)


@pytest.mark.parametrize("down", ["back", "show"])
@pytest.mark.parametrize("skew", [Fr(1, 12), Fr(-1, 12), Fr(0)])
@pytest.mark.parametrize("inset", [Fr(3, 4), Fr(0)])
def test_a_low_stop_at_a_mitered_edge_touches_inside_the_corner(down, skew, inset) -> None:
    """The back of a mitered edge lies its thickness inside the show face, so at an end that slants
    by 1/12 a low stop meets the back 3/4 x 1/12 = 1/16 in along from the corner it is set for."""
    square = EdgeProfile(Fr(3, 4), Fr(3, 4))
    edges = (Fr(100), Fr(100) - skew * 8)
    ends = board_ends(square, Fr(8), edges, (WallAt(Fr(0), skew), WallAt(Fr(0), Fr(0))))
    machine = ShopMachine(face_down=down, miter_tilts="both")
    made = end_cuts(edges[0], ends, (), machine, DEFAULT_STEP, insets=(inset, inset))
    assert made is not None
    with_stop = [one for one in made if any(part.name.startswith("stop") for part in one.parts)]
    assert with_stop
    tall = any("Stop block as tall as the board" in notes_of(one) for one in with_stop)
    assert tall == (down == "back" and bool(skew) and bool(inset))


def test_a_mitered_bottom_between_walls_askew_is_stopped_at_its_top_corner(record, now) -> None:
    work = Work(record, now)
    spots = beam_of(work, "mitred")
    (cut,) = (one for one in _ends_of(work, spots) if "end 2" in one.name)
    assert "Stop block as tall as the board" in notes_of(cut)


def _ends_of(work, spots):
    for key in ("A", "B"):
        work.read(spots[key], "run", "120" if key == "A" else "119 5/16")
        for end in ("end1", "end2"):
            work.read(spots[key], end, "0", "in")
    squares = (TypedSquare(1, "2", "24", "A"), TypedSquare(2, "0", "24", ""))
    work.make(read_squares(work.record, "3", squares, work.now()))
    work.read(spots["bottom"], "opening", "120")
    work.read(spots["bottom"], "edge_b", "119 5/16")
    beam = work.record.beam("3")
    made, _ = cuts_of(work.record.job, beam, beam.piece("bottom"), "cut-bottom")
    return made

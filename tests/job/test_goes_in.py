"""A board that is cut and doesn't go in any more is asked about, however little it differs.

That a board goes in where it is no longer and no wider than its room, is plain; that a bottom
and a side which were put up once went in is common practice, no source.
"""

from fractions import Fraction as Fr

import pytest

from crewdesk.job.beams import beams
from crewdesk.job.cuts.answer_cut import keep_cut
from crewdesk.job.cuts.dry_fits import tried
from crewdesk.job.cuts.open_cuts import open_cuts
from crewdesk.length import STEPS
from tests.job.test_cut_figures import BOTTOM, A, B, Work
from tests.job.test_kept_clash import beam_of
from tests.job.test_kept_clash import section as change_section


@pytest.fixture
def work(record, now) -> Work:
    return Work(record, now)


def section(work, **fields) -> str:
    new = work.record.beam("1").section._replace(**fields)
    if new == work.record.beam("1").section:
        return ""
    return work.make(beams.change_beam(work.record, "1", {"section": new}, work.now()))


def asked(work) -> set[tuple[str, str]]:
    return {(one.spot.piece, one.step_id) for one in open_cuts(work.record)}


def in_step(work, name: str) -> None:
    if work.record.job.step.name != name:
        work.make(beams.change_job(work.record, {"step": name}, work.now()))


@pytest.mark.parametrize(("step", "fit"), [*((step, Fr(0)) for step in STEPS), ("1/16", Fr(1, 32))])
def test_a_ripped_bottom_that_is_too_wide_is_held_at_every_step(work, step, fit) -> None:
    """8 less twice 3/4 is 6 1/2, less the clearance. Narrowed by as much as that it still goes
    in; by 1/64 in more than what was ripped leaves, it doesn't."""
    in_step(work, step)
    section(work, fit=fit)
    work.tick("rip-side", A, B)
    work.tick("rip-bottom", BOTTOM)
    size = STEPS[step].size
    ripped = (Fr(13, 2) - fit) // size * size
    section(work, width=ripped + Fr(3, 2))
    assert ("bottom", "rip-bottom") not in asked(work)
    said = section(work, width=ripped + Fr(3, 2) - Fr(1, 64))
    assert asked(work) == {("bottom", "rip-bottom")}
    assert "too wide" in said
    assert "'Sand the show faces' is held." in said
    assert "is held until you answer" in work.gate(BOTTOM, "sand")
    # Kept with a reason it asks no more, until it lacks all of that again.
    work.make(keep_cut(work.record, BOTTOM, "rip-bottom", "planed by hand", work.now()))
    assert not asked(work)
    section(work, width=ripped + Fr(3, 2) - Fr(1, 64) - Fr(1, 128))
    assert not asked(work)


def test_a_bottom_that_was_kept_while_it_went_in_asks_where_it_does_not(work) -> None:
    """Ripped to 6 1/2; the beam is 1/8 wider, which is kept, and then 1/32 narrower than it was."""
    work.tick("rip-side", A, B)
    work.tick("rip-bottom", BOTTOM)
    section(work, width=Fr(65, 8))
    work.make(keep_cut(work.record, BOTTOM, "rip-bottom", "the gap hides", work.now()))
    section(work, width=Fr(8))
    assert not asked(work)
    section(work, width=Fr(8) - Fr(1, 32))
    assert asked(work) == {("bottom", "rip-bottom")}


def test_a_bottom_that_is_longer_than_its_opening_is_held(work) -> None:
    """Cut 1/32 short of 192 1/4: in 192 7/32 it goes, in 192 3/16 it is 1/32 over, which is no
    more than the tape can be off."""
    work.to_bottom()
    assert work.read(BOTTOM, "opening", "192 7/32") == ""
    said = work.read(BOTTOM, "opening", "192 3/16")
    assert "bottom was cut to 192 7/32 in" in said
    assert "too long" in said
    assert asked(work) == {("bottom", "cut-bottom")}
    assert "is held until you answer" in work.gate(BOTTOM, "nail-bottom")
    beam = work.record.beam("1")
    found = tried(beam, beam.piece("bottom"), beam.habits.step)
    assert found.fit is not None
    assert (found.fit.way, found.may) == ("no way", False)


def test_a_bottom_that_is_up_went_in(work) -> None:
    work.to_bottom()
    work.tick("nail-bottom", BOTTOM)
    assert work.read(BOTTOM, "opening", "192 3/16") == ""


def test_a_side_that_is_longer_than_its_wall_to_wall_is_held_until_it_is_up(work) -> None:
    """A side has no clearance: 1/32 in, what its marks are rounded by, is planed off, 1/16 in
    isn't, though a tape can be off by it."""
    work.to_cut()
    assert work.read(A, "run", "192 9/32") == ""
    assert "too long" in work.read(A, "run", "192 1/4")
    assert asked(work) == {("A", "cut-side")}
    assert "is held until you answer" in work.gate(A, "back-bevel")


def test_a_side_that_was_tacked_went_in(work) -> None:
    work.to_level()
    assert work.read(A, "run", "192 1/4") == ""


def test_a_top_that_is_too_wide_for_its_sides_is_held(work) -> None:
    spots = beam_of(work, "box")
    work.tick("rip-side", spots["A"], spots["B"])
    work.tick("rip-top", spots["top"])
    said = change_section(work, width=Fr(8) - Fr(1, 32))
    assert asked(work) == {("top", "rip-top")}
    assert "too wide" in said


def test_a_bottom_along_a_wall_has_width_to_scribe_until_it_is_scribed(work) -> None:
    spots = beam_of(work, "wall")
    work.tick("rip-side", spots["A"])
    work.tick("rip-bottom", spots["bottom"])
    change_section(work, width=Fr(8) - Fr(1, 32))
    assert not asked(work)

"""In a real terminal: a cut whose readings or section changed is asked about and answered."""

from collections.abc import Callable
from datetime import datetime, timedelta
from fractions import Fraction
from pathlib import Path

import pytest

from crewdesk.job.beams import beams, take
from crewdesk.job.steps import ticks
from crewdesk.job.steps.ticks import Spot
from crewdesk.store.desk import Desk as DataFolder
from crewdesk.trade.cuts.section import Section
from tests.terminal.conftest import Desk

SIDES = (Spot("1", "A"), Spot("1", "B"))
RIP = ("rip-side",)
TO_CUT = (*RIP, "ease", "sand", "cleat-line", "tape", "scrape")


@pytest.fixture
def begun(tmp_path: Path) -> Callable[..., None]:
    """Makes a job of one beam yesterday, its sides taken through some steps, and cut."""

    def begin(steps: tuple[str, ...], *, cut: bool) -> None:
        at = datetime.now().astimezone().replace(microsecond=0) - timedelta(days=1)
        folder = DataFolder(tmp_path / "data")
        section = Section(Fraction(8), Fraction(10))
        job = folder.open(folder.create(beams.new_job("Juniper Court", section, at)))
        folder.shop.change(at, who="Wren")
        ends = ("stair wall", "bay wall")
        job.make(beams.add_beam(job.record, "2", "Great room", at, ends=ends))
        for step in steps:
            job.make(ticks.tick_all(job.record, SIDES, step, at))
        if cut:
            for spot in SIDES:
                for what, text, lean in (
                    ("run", "192 5/16", ""),
                    ("end1", "5/32", "in"),
                    ("end2", "1/8", "out"),
                ):
                    typed = take.typed_reading(job.record, what, text, at, lean=lean, level="24")
                    job.make(take.take(job.record, spot, what, typed))
            job.make(ticks.tick_all(job.record, SIDES, "cut-side", at))
        job.close(at)

    return begin


@pytest.mark.slow
def test_read_cut_read_again_answer_and_go_on(
    begun: Callable[..., None], desk: Callable[..., Desk]
) -> None:
    begun(TO_CUT, cut=True)
    one = desk()
    one.see("Juniper Court")
    one.press("enter")
    one.see("Rip to width, bevel the edges: Great room 2 bottom")
    one.press("up", "up", "right", "right", "right")
    one.see("Back-bevel the end that slides in: Great room 2 side A")

    # Read again, twice: it is said at once, and what follows is held.
    one.press("enter")
    one.see("wall to wall, bottom")
    one.type("192-11/16")
    one.press("enter")
    one.see("was cut to 192 5/16 in", "A reading taken since then is in")
    one.press("up")
    one.type("192-11/16")
    one.press("enter")
    one.see("its readings now make 192 11/16", "(3/8 in too short)", "Press ? to answer.")
    one.see_no_more("doubtful")
    one.press("f4")
    one.see("'Back-bevel the end that slides in' is held until you")

    # On the run sheet the cell has its sign, and Space ticks nothing.
    one.press("esc")
    one.see("was cut to 192 5/16 in", "2/5?", "? cut to other figures than today's")
    one.press(" ")
    one.see("Not checked off: a cut changed")

    # The question: keep it, with a reason.
    one.press("?")
    one.see("1  Keep it as it was cut", "2  Cut it again", "3  Cut it from a new board")
    one.see("4  Take the change back")
    one.press("1")
    one.see("Keep it as it was cut?", "Why")
    one.press("enter")
    one.see("Give a reason in a few words")
    one.type("packed out at the stair wall")
    one.press("enter")
    one.see("kept 'Cut to length' on Great room 2 side A as cut")
    one.see_no_more("2/5?")

    # Go on; the reason stands on the piece's page and on paper.
    one.press(" ")
    one.see("checked off 'Back-bevel the end that slides in' on Great room 2 side A")
    one.press("ctrl+q")
    assert one.left() == 0
    two = desk("cutlist", "Juniper")
    two.see("Kept as cut: packed out")
    assert two.left() == 0
    three = desk("held", "Juniper")
    three.see("Kept as cut: packed out")
    assert three.left() == 0


@pytest.mark.slow
def test_the_section_changed_after_the_rip_and_the_sides_are_ripped_again(
    begun: Callable[..., None], desk: Callable[..., Desk]
) -> None:
    begun((*RIP, "ease"), cut=False)
    one = desk()
    one.see("Juniper Court")
    one.press("enter")
    one.see("Rip to width, bevel the edges: Great room 2 bottom")
    one.press("up", "up", "right")
    one.see("Sand the show faces: Great room 2 side A")
    one.press("e")
    one.see("Name", "Room", "Ceiling")
    one.press(*["down"] * 10)  # name, room, walls, form, ceiling, slope, width: to the height
    one.press("ctrl+u")
    one.type("9")
    one.press("ctrl+s")
    one.see("Saved. Great room 2 side A was ripped to 10 in wide; its section now makes")
    one.see("1 more cut changed with it.")

    # Both sides are listed, first of all that is missing.
    one.press("u")
    one.see("Cut to other figures than today's")
    one.see("Great room 2 side B: ripped to 10 in, now 9 in (1 in too wide)")
    one.press("esc")
    one.see_no_more("What is missing?")

    # Side A is ripped again: the rip and what followed it open, in one change.
    one.press("?")
    one.see("2  Cut it again: this step and 1 later one open again")
    one.press("2")
    one.see("opened 'Rip to width' on Great room 2 side A again")
    one.press("ctrl+z")
    one.see("Undone.", "was ripped to 10 in wide")
    one.press("?")
    one.see("2  Cut it again")
    one.press("2")
    one.see("opened 'Rip to width'")
    one.press("left", "left", " ")
    one.see("checked off 'Rip to width' on Great room 2 side A")
    one.press("ctrl+q")
    assert one.left() == 0

    # Side B is answered from the command line, and the work goes on.
    two = desk("held", "Juniper")
    two.see("side B was ripped to 10 in wide", "rip-side --keep REASON")
    assert two.left() == 0
    three = desk("held", "Juniper", "2", "B", "--keep", "planed down to 9")
    three.see("kept 'Rip to width' on Great room 2 side B as cut.")
    assert three.left() == 0
    four = desk()
    four.see("Juniper Court")
    four.press("enter")
    four.see("Great room", "side B")
    assert "?" not in four.text.replace("? answers", "")
    four.press("up", "right", " ")
    four.see("checked off 'Sand the show faces' on Great room 2 side B")
    four.press("ctrl+q")
    assert four.left() == 0

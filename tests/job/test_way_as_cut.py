"""How a side was cut to its scribe line stays with its check-off.

The rules that choose a way are common practice, no source (see `trade.cuts.scribe_cut`).
"""

import pytest

from crewdesk.errors import NotAllowed
from crewdesk.job.beams.chosen_cuts import own_scribe_cut
from crewdesk.job.cuts import open_cuts
from crewdesk.job.cuts.cut_figures import AsCut
from crewdesk.job.cuts.scribe_way import scribe_cut_of
from crewdesk.job.steps.ticks import clear
from crewdesk.paper.text.cutlist import cut_list
from crewdesk.trade.cuts.shop_machine import USUAL_MACHINE, Crew
from tests.job.test_cut_figures import A, B, Work


@pytest.fixture
def work(record, now):
    return Work(record, now)


def way(work, spot, machine=USUAL_MACHINE) -> tuple[str, str]:
    beam = work.record.beam("1")
    made = scribe_cut_of(beam, beam.piece(spot.piece), machine, work.record.job.step)
    return made.way, made.chosen


def test_a_side_that_is_cut_says_the_way_it_was_cut(work) -> None:
    """Bent by 1/4 in, more than 1/32: a circular saw, whatever is set later."""
    work.to_level()
    work.ceiling()
    for step in ("scribe", "take-down"):
        work.tick(step, A, B)
    assert way(work, A) == ("circular saw", "rule")
    work.tick("cut-scribe", A)
    planed = USUAL_MACHINE._replace(scribe_cut="plane")
    assert way(work, A, planed) == ("circular saw", "as cut")
    assert way(work, B, planed) == ("plane", "every board")
    lines = cut_list("hill", work.record).lines
    assert any(
        "cut to the scribe line: circular saw (already cut that way)" in one for one in lines
    )


def test_a_way_that_is_set_for_every_board_is_kept_too(work) -> None:
    work.record.ask_crew = lambda: Crew(machine=USUAL_MACHINE._replace(scribe_cut="track saw"))
    work.record.look_at_crew()
    work.to_scribed()
    assert work.mark(A, "cut-scribe").cut.way == "track saw"
    assert work.mark(A, "scribe").cut.way == ""
    doc = work.mark(A, "cut-scribe").cut.to_doc()
    assert AsCut.from_doc(doc).way == "track saw"
    with pytest.raises(NotAllowed):
        AsCut.from_doc({**doc, "way": "axe"})


def test_another_way_is_not_chosen_for_a_side_that_is_cut(work) -> None:
    work.to_scribed()
    with pytest.raises(NotAllowed, match="already cut to its scribe line with the circular saw"):
        own_scribe_cut(work.record, A, "plane", "no saw", work.now())
    work.make(clear(work.record, A, "cut-scribe", work.now()))
    work.make(own_scribe_cut(work.record, A, "plane", "no saw", work.now()))
    assert way(work, A) == ("plane", "board")
    assert not open_cuts.open_cuts(work.record)

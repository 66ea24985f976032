"""A check-off of a scribe keeps the tool that was taken, not the setting that was wanted.

That one setting serves both sides, and that a block holds the pencil off by one distance only,
is common practice, no source.
"""

from fractions import Fraction as Fr

import pytest

from crewdesk.errors import NotAllowed
from crewdesk.job.cuts.cut_figures import AsCut
from crewdesk.job.cuts.open_cuts import open_cuts
from crewdesk.job.cuts.scribing import scribe_by_readings, scribe_of
from crewdesk.trade.cuts.shop_machine import USUAL_MACHINE, Crew
from tests.job.test_as_built import keep
from tests.job.test_cut_figures import A, B, Work

HALF, LONG = ("short block", Fr(1, 2)), ("long block", Fr(3, 4))
HIGHER = (("0", "100", "100"), ("96", "100 1/2", "100"), ("192", "100", "100"))
"""Where the wanted setting is 5/8; it is 3/8 by the readings of `Work.ceiling`."""


@pytest.fixture
def work(record, now) -> Work:
    made = Work(record, now)
    with_tools(made, HALF, LONG)
    return made


def with_tools(work, *tools) -> None:
    work.record.ask_crew = lambda: Crew(machine=USUAL_MACHINE._replace(scribers=tools))
    work.record.look_at_crew()


def setting(work, spot) -> Fr:
    return work.mark(spot, "scribe").cut.figures["setting"].exact


def test_it_keeps_what_the_tool_is_and_how_wide_the_side_is_with_it(work) -> None:
    work.to_scribed()
    wanted = scribe_of(work.record.beam("1"))
    assert wanted.setting == Fr(3, 8)
    assert setting(work, A) == setting(work, B) == Fr(1, 2)
    cut = work.mark(A, "cut-scribe").cut
    assert cut.scribed_with == (HALF,)
    for mark in wanted.marks:
        if mark.side == "A":
            assert cut.figures[f"height@{mark.at}"].exact == mark.finished_height - Fr(1, 8)
    assert not open_cuts(work.record)


def test_a_reading_that_the_tool_still_reaches_asks_nothing(work) -> None:
    work.to_scribed()
    with_tools(work, LONG)  # sold since; the pair was scribed with one tool all the same
    assert not open_cuts(work.record)
    level = (("0", "100", "100"), ("96", "100", "100"), ("192", "100", "100"))
    assert "scribed at" not in work.ceiling(level)  # what was cut off is too little, though
    assert scribe_by_readings(work.record.beam("1")).setting < Fr(1, 4)
    assert scribe_of(work.record.beam("1")).setting == Fr(1, 2)
    told = work.ceiling((("0", "100", "100"), ("96", "100 3/4", "100"), ("192", "100", "100")))
    assert "side A was scribed at 1/2 in; its readings now make 7/8 in" in told


def test_a_side_alone_is_asked_where_its_partner_would_take_another_tool(work) -> None:
    work.to_level()
    work.ceiling()
    work.tick("scribe", A)
    told = work.ceiling(HIGHER)
    assert "side A was scribed at 1/2 in; its readings now make 3/4 in" in told
    keep(work, A, "scribe")
    work.tick("scribe", B)
    assert setting(work, B) == Fr(1, 2)
    assert not open_cuts(work.record)


def test_a_check_off_from_before_is_compared_with_the_setting_that_was_wanted(work) -> None:
    with_tools(work)
    work.to_scribed()
    beam = work.record.tables["beams"]["1"]
    for key in ("A", "B"):
        for step in ("scribe", "cut-scribe"):
            assert beam["pieces"][key]["steps"][step]["cut"].pop("scribed_with") == []
    work.record.renew({**work.record.tables, "beams": {"1": dict(beam)}})
    with_tools(work, HALF)
    assert work.mark(A, "scribe").cut.scribed_with is None
    assert not open_cuts(work.record)


@pytest.mark.parametrize(
    "bad", [7, "block", [["block"]], [["block", "0"]], [[7, "1"]], [[["b"], 1]]]
)
def test_what_is_no_tool_is_refused(work, bad) -> None:
    work.to_scribed()
    doc = work.mark(A, "scribe").cut.to_doc()
    assert AsCut.from_doc(doc).scribed_with == (HALF,)
    with pytest.raises(NotAllowed):
        AsCut.from_doc({**doc, "scribed_with": bad})

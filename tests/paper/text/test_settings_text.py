"""Which batches say what their settings take for granted."""

import pytest

from crewdesk.job.beams.piece import Spot
from crewdesk.job.cuts.batches import BatchSettings, Group, batch_settings
from crewdesk.job.cuts.scribe_settings import how_to_cut
from crewdesk.paper.text.settings_text import notes_told, said_once, settings_explained
from crewdesk.trade.cuts.shop_machine import USUAL_MACHINE, WAYS
from tests.job.test_machine_settings import take_all


@pytest.mark.parametrize("way", WAYS)
def test_only_a_table_saws_batch_goes_by_the_side_that_it_tilts_to(way) -> None:
    notes = (how_to_cut(way, USUAL_MACHINE.tilts, USUAL_MACHINE.back_cut),)
    batch = BatchSettings((Group(way, {}, (), notes=notes),), 1, 1)
    explained = settings_explained(batch, USUAL_MACHINE, "F7")
    assert ("tilts left (F7)" in explained) == (way == "table saw")


def test_what_is_the_same_for_all_groups_is_said_once(record, now) -> None:
    runs = ("147", "120")
    for row, run in zip("12", runs, strict=True):
        for key in "AB":
            take_all(record, now, Spot(row, key), run=run, end1="1/4:in", end2="3/8:in")
    spots = [Spot(row, key) for row in "12" for key in "AB"]
    made = batch_settings(record, "cut-side", spots)
    for_all, shown = said_once(made)
    said = " ".join([*for_all, *(line for one in shown for line in one.notes)])
    said += " ".join(line for one in shown for line in notes_told(one.group))
    for sentence in ("A board wider than your saw cuts", "Not the finished length", "Show face up"):
        assert said.count(sentence) == 1
    assert for_all[0].startswith("Saw stop: Not the finished length")
    # A cut's title is shown once, and nothing that a group says is lost.
    assert [one.cut[:7] for one in shown if one.cut] == ["Pass 1:", "Pass 2:", "Pass 3:"]
    assert len(shown) == len(made.groups) > 3
    for group in made.groups:
        assert all(note in said for note in group.notes)

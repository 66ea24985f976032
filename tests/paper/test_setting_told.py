"""Which batches say what their settings take for granted."""

import pytest

from crewdesk.job.machine import BatchSettings, Group
from crewdesk.job.scribe_settings import how_to_cut
from crewdesk.job.shop_machine import USUAL_MACHINE
from crewdesk.paper.setting_told import settings_explained
from crewdesk.trade.cuts.scribe_cut import WAYS


@pytest.mark.parametrize("way", WAYS)
def test_only_a_table_saws_batch_goes_by_the_side_that_it_tilts_to(way) -> None:
    notes = (how_to_cut(way, USUAL_MACHINE.tilts, USUAL_MACHINE.back_cut),)
    batch = BatchSettings((Group(way, {}, (), notes=notes),), 1, 1)
    explained = settings_explained(batch, USUAL_MACHINE, "F7")
    assert ("tilts left (F7)" in explained) == (way == "table saw")

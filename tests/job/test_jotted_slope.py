"""Beams that are jotted with a slope, lengths of boards to buy, and boards that aren't measured."""

import pytest

from crewdesk.errors import BadInput
from crewdesk.job.beams.beams import add_listed
from crewdesk.job.cuts.batches import batch_settings
from crewdesk.job.lumber.stock_list import typed_stock
from crewdesk.job.steps.ticks import Spot
from crewdesk.trade.beam_list import read_beam_list


def test_jotted_beams_have_the_slope(record, now) -> None:
    record.make(add_listed(record, read_beam_list("Loft: 2 beams 16' sloped 5/12"), now))
    beams = [one for one in record.beams if one.room == "Loft"]
    assert [(one.ceiling, str(one.pitch.tangent), one.low) for one in beams] == [
        ("sloped", "5/12", 1)
    ] * 2


def test_a_batch_shows_no_length_of_a_board_that_is_not_measured(record, now) -> None:
    """The rough length of a beam is shorter than its board, and under a slope far shorter."""
    record.make(add_listed(record, read_beam_list("Loft: 1 beam 18' sloped 5/12"), now))
    (beam,) = [one for one in record.beams if one.room == "Loft"]
    made = batch_settings(record, "rip-side", (Spot(beam.row, "A"), Spot(beam.row, "B")))
    assert [dict(group.lengths) for group in made.groups] == [{}] * len(made.groups)


@pytest.mark.parametrize("lengths", ["12, 16, 18, 20", "8 x 10, 12"])
def test_bare_lengths_that_must_be_feet_are_asked_about(desk, now, lengths: str) -> None:
    typed = {"species": "White oak", "size": "1x12", "lengths": lengths, "price": "100"}
    books = desk.shop.record()
    with pytest.raises(BadInput, match="Type feet with a mark"):
        typed_stock(books, typed, now)
    for marked in ("12', 16', 18'", "30 in", "144, 192", '30" x 4'):
        assert typed_stock(books, typed | {"lengths": marked}, now)

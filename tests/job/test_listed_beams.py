"""Beams out of a list: numbered on in each room, in one change that can be taken back."""

from crewdesk.job.beams.beams import add_listed
from crewdesk.job.record import Record
from crewdesk.trade.beam_list import BeamLine, read_beam_list


def test_beams_are_numbered_on_and_take_the_jobs_section(record, now, copied) -> None:
    before = copied(record.tables)
    lines = read_beam_list("Hall: 2 beams 12' 6x8\ngreat ROOM: 2 beams\nHall: beam 9'")
    change = add_listed(record, lines, now)
    assert change.what == "added 5 beams: 3 in Hall, 2 in Great room"
    record.make(change)
    added = [beam for beam in record.beams if beam.name.isdecimal()]
    assert [beam.label for beam in added] == [
        "Great room 1",
        "Great room 2",
        "Hall 1",
        "Hall 2",
        "Hall 3",
    ]
    sections = [(beam.section.width, beam.section.height) for beam in added]
    assert sections == [(8, 10), (8, 10), (6, 8), (6, 8), (8, 10)]
    assert [beam.rough for beam in added] == [None, None, 144, 144, 108]
    record.make(add_listed(record, read_beam_list("hall: 1 beam"), now))
    assert record.beams[-1].label == "Hall 4"
    undone = Record(copied(before))
    undone.make(change)
    undone.make(change.taken_back(1, now))
    assert copied(undone.tables) == before


def test_what_can_not_be_a_beam_is_refused(record, now, refusing) -> None:
    assert "can have up to 500 beams" in refusing(add_listed, record, [BeamLine("Hall", 499)], now)
    assert "no beam" in refusing(add_listed, record, [], now)
    assert "character in it" in refusing(add_listed, record, [BeamLine("Ha\u202ell")], now)
    assert len(record.beams) == 2

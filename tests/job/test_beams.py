"""Adding, changing, removing and finding beams, and what is true of the whole job."""

from fractions import Fraction as Fr

import pytest

from crewdesk.job.beams import beams
from crewdesk.job.beams.beam import section_from_doc, section_to_doc
from crewdesk.job.record import Record
from crewdesk.job.text_limits import checked_line, checked_name, checked_note
from crewdesk.trade.cuts.section import Section


def test_a_new_job_has_its_section_and_the_usual_stages(record) -> None:
    assert (record.job.name, record.job.customer, record.job.site) == (
        "Hill house",
        "Ada Quill",
        "Lot 7",
    )
    assert record.job.section == Section(Fr(8), Fr(10))
    assert [stage.name for stage in record.stages] == [
        *("Rip", "Ease", "Tape", "Tack", "Scribe", "Final nail", "Fix-up")
    ]


def test_a_beam_has_its_four_pieces_and_the_job_s_section_unless_told(record, now) -> None:
    own = Section(Fr(6), Fr(9))
    record.make(beams.add_beam(record, "  Short   one ", "Hall", now, section=own))
    beam = record.beam("3")
    assert (beam.name, beam.label) == ("Short one", "Hall Short one")
    assert beam.section == own
    assert record.beam("1").section == record.job.section
    assert list(beam.pieces) == ["A", "B", "bottom", "cleats"]


def test_beams_stand_by_room_in_the_order_in_which_rooms_came(record, now) -> None:
    record.make(beams.add_beam(record, "First", "Hall", now))
    record.make(beams.add_beam(record, "Third", "Great room", now))
    assert [b.name for b in record.beams] == ["Ridge", "Cross", "Third", "First"]


def test_a_beam_is_changed_and_keeps_the_rest(record, now, refusing) -> None:
    record.make(
        beams.change_beam(
            record, "1", {"name": "Main", "ends": ("fireplace", "door"), "ceiling": "sloped"}, now
        )
    )
    beam = record.beam("1")
    assert (beam.name, beam.room, beam.ends, beam.ceiling) == (
        *("Main", "Great room", ("fireplace", "door"), "sloped"),
    )
    assert "the same as before" in refusing(
        beams.change_beam, record, "1", {"ends": ("fireplace", "door")}, now
    )
    assert "no colour to change" in refusing(beams.change_beam, record, "1", {"colour": "x"}, now)
    assert "no size to change" in refusing(beams.change_job, record, {"size": 1}, now)


@pytest.mark.parametrize(
    ("field", "value", "told"),
    [
        ("name", "", "needs a name"),
        ("name", "x" * 81, "the limit is 80"),
        ("name", 7, "must be text, not 7"),
        ("room", "\u202egreat", "U+202E"),
        ("room", " \t\n", "needs a name"),
        ("ends", ("north",), "two ends"),
        ("ends", "ns", "two ends"),
        ("ends", ("north", "x" * 81), "the limit is 80"),
        ("ends", ("north", None), "must be text"),
        ("ceiling", "domed", "flat or sloped, not 'domed'"),
        ("note", "x" * 2001, "the limit is 2000"),
        ("note", "\x07", "U+0007"),
        ("note", Fr(1, 3), "can't be kept in a job"),
        ("note", float("nan"), "can't be kept in a job"),
        ("section", {"width": "8"}, "needs its height"),
        ("section", {"width": "8", "height": "10", "depth": "1"}, "A section can't have 'depth'"),
        ("section", {"width": "1", "height": "10"}, "no room for a bottom board"),
        ("section", {"width": 8, "height": "10"}, "isn't an exact number"),
        ("section", {"width": "1/0", "height": "10"}, "isn't an exact number"),
        ("section", {"width": "1e9", "height": "10"}, "isn't an exact number"),
        ("section", [], "A section in this file"),
    ],
)
def test_what_no_beam_can_be_is_refused_and_changes_nothing(
    record, now, refusing, copied, field, value, told
) -> None:
    before = copied(record.tables)

    def change() -> None:
        record.make(beams.change_beam(record, "1", {field: value}, now))

    assert told in refusing(change)
    assert copied(record.tables) == before
    assert record.beam("1").name == "Ridge"


@pytest.mark.parametrize(
    ("field", "value", "told"),
    [
        ("name", " ", "needs a name"),
        ("customer", "x" * 201, "the limit is 200"),
        ("site", ["Lot"], "must be text"),
        ("zone", "x" * 81, "the limit is 80"),
        ("step", "1/7", "1/16, 1/32, 1/64 or mm"),
        ("step", [], "1/16, 1/32, 1/64 or mm"),
        ("notes", "x" * 2001, "the limit is 2000"),
    ],
)
def test_what_no_job_can_be_is_refused(record, now, refusing, field, value, told) -> None:
    def change() -> None:
        record.make(beams.change_job(record, {field: value}, now))

    assert told in refusing(change)
    assert record.job.name == "Hill house"


def test_no_two_beams_of_a_room_share_a_name(record, now, refusing) -> None:
    assert "already a beam" in refusing(beams.add_beam, record, "ridge", "GREAT ROOM", now)
    assert "already a beam" in refusing(beams.change_beam, record, "2", {"name": "Ridge"}, now)
    record.make(beams.add_beam(record, "Ridge", "Hall", now))
    record.make(beams.change_beam(record, "1", {"name": "RIDGE"}, now))


def test_a_beam_is_removed(record, now, refusing) -> None:
    record.make(beams.remove_beam(record, "1", now))
    assert [b.name for b in record.beams] == ["Cross"]
    assert "no row 1" in refusing(record.beam, "1")


def test_a_beam_is_found_by_name_or_by_room_and_name(record, now, refusing) -> None:
    assert beams.find_beam(record, " great  room RIDGE").row == "1"
    assert beams.find_beam(record, "cross").row == "2"
    record.make(beams.add_beam(record, "Cross", "Hall", now))
    assert "more than one beam: Great room Cross, Hall Cross" in refusing(
        beams.find_beam, record, "cross"
    )
    assert "This job's beams: Great room Ridge" in refusing(beams.find_beam, record, "none")
    assert "none yet" in refusing(beams.find_beam, _empty(record), "x")


def _empty(record: Record) -> Record:
    return Record({"job": record.tables["job"]})


def test_a_section_goes_out_and_comes_in_exact() -> None:
    odd = Section(Fr(22, 3), Fr(1000, 127), flat=Fr(3, 16), bevel=Fr(31, 2))
    assert section_from_doc(section_to_doc(odd)) == odd


def test_names_lines_and_notes() -> None:
    assert checked_name(" Hall\u00a0 of \n mirrors ", "room") == "Hall of mirrors"
    assert checked_line("", "site") == ""
    assert checked_note(" one\r\n\ttwo ") == "one\n two"
    # A name may be in any script, and hold signs of more than 16 bits.
    for name in ("Żółw", "居間", "\U0001f332"):
        assert checked_name(name, "room") == name


@pytest.mark.parametrize(
    ("more", "drop", "side"),
    [
        ({}, Fr(161, 16), "side A is only 10 in"),
        ({"form": "uneven", "height_b": Fr(8)}, Fr(9), "side B is only 8 in"),
        ({"form": "box"}, Fr(11), "side A is only 10 in"),
        # 6 in 12 falls 2 in over the 4 in from the ridge to the show face.
        ({"form": "ridge", "pitch": "6/12"}, Fr(9), "side A is only 8 in"),
    ],
)
def test_a_minimum_finished_depth_over_the_side_is_refused(
    record, now, refusing, more, drop, side
) -> None:
    told = refusing(record.make, beams.add_beam(record, "Low", "Hall", now, drop=drop, **more))
    assert "minimum finished depth" in told
    assert side in told
    assert "smaller depth" in told
    record.make(beams.add_beam(record, "Low", "Hall", now, drop=Fr(8), **more))


def test_sides_are_not_made_narrower_than_the_minimum_finished_depth(record, now, refusing) -> None:
    record.make(beams.change_beam(record, "1", {"drop": Fr(10)}, now))
    narrow = beams.change_beam(record, "1", {"section": Section(Fr(8), Fr(9))}, now)
    assert "side A is only 9 in wide" in refusing(record.make, narrow)
    # A beam that came in before this was looked at stays as it is, and so do its other values.
    record.tables["beams"]["1"]["drop"] = "12"
    record.forget({("beams", "1")})
    record.make(beams.change_beam(record, "1", {"note": "over the sink"}, now))
    assert record.beam("1").drop == 12

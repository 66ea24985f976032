"""What can be found in a job, which beam is meant, and what the whole job lacks."""

from crewdesk.job.beams import beams, take
from crewdesk.job.beams.in_plan import TypedSquare, read_squares
from crewdesk.job.beams.missing import BLOCKED, DOUBTFUL, LATER, TO_READ, missing
from crewdesk.job.beams.piece import Spot
from crewdesk.job.findable import beams_like, findable, matches, pieces_named
from crewdesk.job.record import Record
from crewdesk.job.steps import ticks


def read(record, now, what: str, text: str, piece: str = "A") -> None:
    reading = take.typed_reading(record, what, text, now, lean="in", level="24")
    record.make(take.take(record, Spot("1", piece), what, reading))


def test_jobs_beams_readings_and_notes_are_found_by_any_part_of_their_words(record, now) -> None:
    read(record, now, "run", "12' 3-5/16")
    record.make(beams.change_beam(record, "2", {"note": "mind the\nflue"}, now))
    record.make(ticks.set_aside(record, Spot("1", "B"), "rip-side", "blocked", "knot", now))
    every = list(findable(record))

    def found(text: str) -> list[tuple[str, str, str]]:
        words = text.casefold().split()
        return [(one.sort, one.beam, one.piece) for one in every if matches(one.text, words)]

    assert found("QUILL lot") == [("job", "", "")]
    assert found("great cross") == [("beam", "2", ""), ("note", "2", "")]
    assert found("147 5/16") == found("12' 3 5/16") == [("reading", "1", "A")]
    assert found("flue") == [("note", "2", "")]
    assert found("knot") == [("note", "1", "B")]
    assert found("no such thing") == []


def test_an_empty_list_of_readings_has_nothing_to_find(record) -> None:
    tables = {**record.tables, "beams": {**record.tables["beams"]}}
    beam = tables["beams"]["1"]
    tables["beams"]["1"] = {**beam, "pieces": {"A": {"readings": {"run": []}}}}
    assert not [one for one in findable(Record(tables)) if one.sort == "reading"]


def test_a_piece_is_found_by_its_full_name_alone(record, now) -> None:
    for name in ("1", "2", "12"):
        record.make(beams.add_beam(record, name, "Den", now))

    def found(text: str) -> list[str]:
        return [one.text for one in pieces_named(record, text.casefold().split())]

    assert found("Den 2 side A") == found("side a den 2") == ["Den 2 side A"]
    assert found("den 2 side") == ["Den 2 side A", "Den 2 side B"]
    assert found("den 12 bot") == ["Den 12 bottom"]
    # A beam's name is the beam's, and what every beam has names none.
    assert found("den 2") == found("side a") == found("attic side a") == []


def test_a_beam_named_by_what_was_typed_comes_first_and_near_ones_before_far(record, now) -> None:
    for room in ("Hall", "Den"):
        for name in ("1", "2", "12"):
            record.make(beams.add_beam(record, name, room, now))
    rows = {beam.label: beam.row for beam in record.beams}

    def labels(text: str, near: str = "Great room Ridge") -> list[str]:
        return [beam.label for beam in beams_like(record, text, rows[near])]

    assert labels("2", "Den 1") == ["Den 2", "Hall 2", "Den 12", "Hall 12"]
    assert labels("hall 1") == ["Hall 1", "Hall 12"]
    assert labels("cross") == ["Great room Cross"]
    assert labels("", "Hall 2")[:2] == ["Hall 2", "Hall 1"]
    assert labels("attic") == []


def test_what_is_missing_now_and_later(record, now, walk) -> None:
    def told() -> dict[str, list[tuple[str, str, tuple[str, ...]]]]:
        by_sort: dict[str, list[tuple[str, str, tuple[str, ...]]]] = {}
        for one in missing(record):
            by_sort.setdefault(one.sort, []).append((one.spot.beam, one.spot.piece, one.readings))
        return by_sort

    sides = [(beam, key, ("run", "end1", "end2")) for beam in "12" for key in "AB"]
    sides += [(beam, "", ("ceiling",)) for beam in "12"]
    bottoms = [(beam, "bottom", ("opening",)) for beam in "12"]
    assert told() == {TO_READ: sides, LATER: bottoms}
    read(record, now, "run", "147")
    read(record, now, "run", "150")
    record.make(ticks.set_aside(record, Spot("2", "A"), "rip-side", "blocked", "knot in it", now))
    lacking = told()
    assert lacking[TO_READ][0] == ("1", "A", ("end1", "end2"))
    assert lacking[DOUBTFUL] == [("1", "A", ("run",))]
    assert lacking[BLOCKED] == [("2", "A", ())]
    (why,) = [one.why for one in missing(record) if one.sort == BLOCKED]
    assert why == "Rip to width: knot in it"


def test_a_bottom_is_read_once_both_sides_are_nailed(record, now, walk) -> None:
    walk(record, record.make, "cut-bottom", now)
    assert [(one.sort, one.spot.piece) for one in missing(record)] == [(TO_READ, "bottom")] * 2


def test_edge_b_is_missing_where_the_walls_are_out_of_square(record, now, walk) -> None:
    typed = TypedSquare(1, "1/4", "24", "B")
    record.make(read_squares(record, "1", (typed,), now))
    later = {one.spot.beam: one.readings for one in missing(record) if one.sort == LATER}
    assert later == {"1": ("opening", "edge_b"), "2": ("opening",)}
    walk(record, record.make, "cut-bottom", now)
    assert {one.spot.beam: one.readings for one in missing(record)} == {
        "1": ("opening", "edge_b"),
        "2": ("opening",),
    }

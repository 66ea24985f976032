"""A job with a beam of every type, read as they are read, for all that is printed."""

from datetime import datetime
from fractions import Fraction as Fr
from typing import Any

from crewdesk.job.beams import beams, take
from crewdesk.job.beams.in_plan import TypedSquare, read_squares
from crewdesk.job.beams.piece import Spot
from crewdesk.job.cuts.scribing import read_ceiling
from crewdesk.job.record import Record
from crewdesk.job.steps.run_sheet import Batch
from crewdesk.trade.cuts.ceiling import Station
from crewdesk.trade.cuts.section import Section

NORTH, SOUTH = ("north chimney breast", "south wall")
_SIDE = {"run": "120", "end1": "1/8:in", "end2": "3/16:out"}
_PLUMB = {"run": "120", "end1": "0:in", "end2": "0:in"}
_Readings = dict[str, dict[str, str]]
_BEAMS: tuple[tuple[str, dict[str, Any], _Readings, tuple[str, str] | None], ...] = (
    (
        "skewed", {},
        {"A": _SIDE, "B": {**_SIDE, "run": "119 1/2"},
         "bottom": {"opening": "119 31/32", "edge_b": "119 9/16"}},
        ("1/2:A", "1:A"),
    ),
    (
        "turned alike", {},
        {"A": _PLUMB, "B": _PLUMB, "bottom": {"opening": "120", "edge_b": "120"}},
        ("1/2:A", "1/2:B"),
    ),
    ("no square", {}, {"A": _PLUMB, "B": _PLUMB, "bottom": {"opening": "120"}}, None),
    (
        "tape only", {},
        {"A": _PLUMB, "B": {**_PLUMB, "run": "120 5/16"},
         "bottom": {"opening": "120", "edge_b": "120 5/16"}},
        None,
    ),
    (
        "uneven", {"form": "uneven", "height_b": Fr(12)},
        {"A": _SIDE, "B": _SIDE, "bottom": {"opening": "120"}}, None,
    ),
    ("along a wall", {"form": "wall"}, {"A": _SIDE, "bottom": {"opening": "120"}}, None),
    (
        "along a wall askew", {"form": "wall"},
        {"A": _SIDE, "bottom": {"opening": "120", "edge_b": "119 3/4"}}, ("1/2:A", "0:A"),
    ),
    (
        "box", {"form": "box"},
        {"A": {**_SIDE, "end1": "1:out"}, "B": {**_SIDE, "end1": "1:out"},
         "bottom": {"opening": "120"}},
        None,
    ),
    ("mitered", {"form": "mitred"},
     {"A": _SIDE, "B": _SIDE, "bottom": {"opening": "120"}}, ("0:A", "0:A")),
    ("mitered box", {"form": "mitred box"},
     {"A": _SIDE, "B": _SIDE, "bottom": {"opening": "120"}}, None),
    (
        "ridge", {"form": "ridge", "height_b": Fr(11), "pitch": "6/12", "pitch_b": "4/12"},
        {"A": _PLUMB, "B": _PLUMB, "bottom": {"opening": "120"}}, None,
    ),
    (
        "sloped", {"ceiling": "sloped", "pitch": "6/12"},
        {"A": {"run": "100", "end1": "0:in", "end2": "1/8:in"},
         "B": {"run": "99 11/16", "end1": "0:in", "end2": "1/8:in"},
         "bottom": {"opening": "99 15/16", "edge_b": "99 11/16"}},
        ("1:A", "0:A"),
    ),
    (
        "into a ridge", {"ceiling": "sloped", "pitch": "6/12", "low": 2, "ridge_side": Fr(10)},
        {"A": _PLUMB, "B": _PLUMB, "bottom": {"opening": "120"}}, None,
    ),
    (
        "sloped box", {"form": "box", "ceiling": "sloped", "pitch": "3/12"},
        {"A": _PLUMB, "B": _PLUMB, "bottom": {"opening": "120"}}, ("1/4:B", "1/4:A"),
    ),
)  # fmt: skip


def every_type(now: datetime, step: str = "1/32") -> Record:
    """A beam of every type, all of its readings taken; lengths shown to `step`."""
    record = Record({})
    record.make(beams.new_job("Odd rooms", Section(Fr(8), Fr(10)), now, step=step))
    for name, more, readings, squares in _BEAMS:
        ends = (NORTH, SOUTH)
        record.make(beams.add_beam(record, name, "Living room", now, ends=ends, **more))
        row = beams.find_beam(record, f"Living room {name}").row
        for piece, read in readings.items():
            for what, text in read.items():
                given, _, lean = text.partition(":")
                given = given if step != "mm" else f"{given} in"
                made = take.typed_reading(record, what, given, now, lean=lean, level="24 in")
                record.make(take.take(record, Spot(row, piece), what, made))
        if squares:
            typed = [one.partition(":") for one in squares]
            record.make(
                read_squares(
                    record,
                    row,
                    tuple(
                        TypedSquare(end, f"{by} in", "24 in", side)
                        for end, (by, _, side) in enumerate(typed, 1)
                    ),
                    now,
                )
            )
        if "ceiling" in beams.find_beam(record, f"Living room {name}").pieces["A"].traits:
            apart = Fr(2, 3) if name == "ridge" else Fr(0)
            stations = [
                Station(Fr(at), Fr(10) + Fr(at, 480), Fr(10) + apart)
                for at in (0, 60, 100 if name == "sloped" else 120)
            ]
            record.make(read_ceiling(record, row, stations, now))
    return record


def every_batch(record: Record) -> list[Batch]:
    """Every step of every piece as a batch, ready or not."""
    made = []
    for stage in record.stages:
        for step in stage.steps:
            spots = tuple(
                Spot(beam.row, key)
                for beam in record.beams
                for key, piece in beam.pieces.items()
                if step in record.stages.steps_of(piece.kind, piece.traits)
            )
            if spots:
                made.append(Batch(stage, step, spots))
    return made

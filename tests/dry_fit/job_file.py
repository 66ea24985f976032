"""A job's file with the rooms' beams as it would be exported, to be imported by crewdesk.

The format is that of DEVELOPERS.md, 'The file of a job'. The stages come out of the sample
job, so that every step of theirs can be checked off as the work goes.
"""

import json
from collections.abc import Sequence
from datetime import datetime, timedelta
from fractions import Fraction
from pathlib import Path
from typing import Any

from tests.dry_fit.readings import Readings
from tests.dry_fit.room import Room, Section, Station

Doc = dict[str, Any]

SAMPLE = Path(__file__).parents[2] / "sample_data" / "tamarack-bend.json"
BEGUN = datetime.fromisoformat("2026-03-02T08:00:00-07:00")
HOUR = timedelta(hours=1)
KINDS = {"A": "side", "B": "side", "bottom": "bottom", "top": "top", "cleats": "cleats"}
PIECES = {
    "wall": ("A", "bottom", "cleats"),
    "mitred": ("A", "B", "bottom"),
    "box": ("A", "B", "bottom", "top", "cleats"),
    "mitred box": ("A", "B", "bottom", "top"),
}


def job_file(
    name: str,
    step: str,
    rooms: Sequence[tuple[Room, Readings]],
    *,
    up_to: Sequence[str | None] = ("cut-bottom",),
) -> str:
    """The file of a job all of whose beams were measured.

    They are done up to the step of that id, by turns as `up_to` has them; without one nothing
    is done. Usually the sides are up, and the bottoms were measured after that.
    """
    stages = json.loads(SAMPLE.read_text("utf-8"))["job"]["stages"]
    beams = {
        str(row): _beam(room, readings, stages, up_to[row % len(up_to)])
        for row, (room, readings) in enumerate(rooms, 1)
    }
    job = {
        "name": name,
        "section": _section(rooms[0][0].section),
        "step": step,
        "zone": "America/Denver",
        "stages": stages,
    }
    return json.dumps({"crewdesk": "job", "schema": 1, "job": job, "beams": beams})


def beam_name(room: Room) -> str:
    """The name that a room's beam has in the job."""
    return str(room.number)


def _section(section: Section) -> Doc:
    return {name: str(value) for name, value in section._asdict().items()}


def _beam(room: Room, readings: Readings, stages: Sequence[Doc], up_to: str | None) -> Doc:
    optional = {
        "height_b": room.ridge.drop_b if room.ridge else room.height_b,
        "ridge_side": room.ridge_side,
    }
    doc: Doc = {
        "name": beam_name(room),
        "room": "Room",
        "section": _section(room.section),
        "ends": ["north", "south"],
        "ceiling": "sloped" if room.pitch else "flat",
        "form": room.form,
        **{key: str(value) for key, value in optional.items() if value is not None},
        "pieces": {
            key: {
                "readings": _readings(room, readings, key),
                "steps": _steps(room, key, stages, up_to),
            }
            for key in PIECES.get(room.form, ("A", "B", "bottom", "cleats"))
        },
        "pair": _pair(room, readings),
    }
    if room.ridge:
        doc |= {"pitch": _pitch(room.ridge.pitch_a), "pitch_b": _pitch(room.ridge.pitch_b)}
    if room.pitch:
        doc |= {"pitch": _pitch(readings.pitch), "low": room.low}
    return doc


def _pitch(tangent: Fraction) -> str:
    return f"{tangent * 12}/12"


def _readings(room: Room, readings: Readings, key: str) -> Doc:
    if key in readings.runs:
        doc = {"run": [_reading(readings.runs[key], 1, "laser")]}
        for end, ratio in enumerate(readings.leans[key], 1):
            gap = {
                **_reading(abs(ratio) * room.level, 1, "level"),
                "lean": "out" if ratio < 0 else "in",
                "level": str(room.level),
            }
            doc[f"end{end}"] = [gap]
        return doc
    if key == "bottom":
        doc = {"opening": [_reading(readings.opening, 9, "tape")]}
        if readings.edge_b is not None:
            doc["edge_b"] = [_reading(readings.edge_b, 9, "tape")]
        return doc
    return {}


def _reading(value: Fraction, hours: int, instrument: str) -> Doc:
    return {"value": str(value), "when": _when(hours), "instrument": instrument}


def _when(hours: float) -> str:
    return (BEGUN + hours * HOUR).isoformat()


def _pair(room: Room, readings: Readings) -> Doc:
    doc: Doc = {}
    if readings.ceiling:
        stations = [_station(one) for one in readings.ceiling]
        doc["ceiling"] = [{"stations": stations, "when": _when(1), "instrument": "laser"}]
    for end, (ratio, leg) in enumerate(zip(readings.squares, room.legs, strict=True), 1):
        if ratio is None:
            continue
        square = {
            "gap": str(abs(ratio) * leg),
            "leg": str(leg),
            "longer": "B" if ratio < 0 else "A",
        }
        doc[f"square{end}"] = [{**square, "when": _when(1), "instrument": "square"}]
    return doc


def _station(one: Station) -> list[str]:
    return [str(one.at), str(one.over_a), str(one.over_b)]


def _steps(room: Room, key: str, stages: Sequence[Doc], up_to: str | None) -> Doc:
    """Every step of a piece in the stages' order, up to that one, with its time."""
    done: Doc = {}
    if up_to is None:
        return done
    for hours, stage in enumerate(stages):
        for step in stage["steps"]:
            if step["id"] == up_to:
                return done
            if KINDS[key] in step["kinds"] and _has(room, step.get("only")):
                done[step["id"]] = {"state": "done", "when": _when(min(hours, 8))}
    raise ValueError(f"no step {up_to}")


def _has(room: Room, trait: str | None) -> bool:
    if trait == "ceiling":
        return bool(room.ceiling)
    return trait != "cleats" or not room.form.startswith("mitred")

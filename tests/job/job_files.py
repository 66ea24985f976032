"""Whole job files for tests: sound ones, and ones with a single thing off.

`sound_jobs` draws documents that import must take. `nearly_sound_jobs` draws one of them and puts
one field, one reference, one order or one type off, so that import may take or refuse it.
"""

import json
from collections.abc import Callable, Iterator
from copy import deepcopy
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

from hypothesis import strategies as st

from crewdesk.job.beams.forms import FORMS
from crewdesk.job.beams.piece import KIND_OF
from crewdesk.job.steps.usual_stages import USUAL_STAGES

Doc = dict[str, Any]
Path_ = tuple[str | int, ...]

SAMPLE = Path(__file__).parent.parent.parent / "sample_data" / "tamarack-bend.json"
KEPT_BEAMS = ("1", "4", "10")
"""Beams of the sample job: done but for the fix-up, half done, and sloped with little done."""
WHEN = "2026-03-02T{:02}:{:02}:00-07:00"


class NearlySound(NamedTuple):
    """A job file with one thing off: `what` was done to it, and at which path."""

    document: Doc
    what: str
    at: Path_


@cache
def _sample_text() -> str:
    document = json.loads(SAMPLE.read_text("utf-8"))
    del document["history"]
    for table in ("entries", "materials"):
        document[table] = dict(list(document[table].items())[:4])
    document["beams"] = {row: document["beams"][row] for row in KEPT_BEAMS}
    boards = document["boards"].items()
    document["boards"] = {
        row: board
        for row, board in boards
        if board["pieces"] and all(one[0] in KEPT_BEAMS for one in board["pieces"])
    }
    document["entries"]["1"]["pieces"] = [["1", "A"], ["4", "B"]]
    document["entries"]["2"] |= {"order": "1", "note": "around the light box", "billable": False}
    return json.dumps(document)


def sample_job() -> Doc:
    """Three beams of the sample job with all that stands beside them, without the history."""
    document: Doc = json.loads(_sample_text())
    return document


def small_job() -> Doc:
    """The least job that has a row of each table."""
    at = WHEN.format(9, 30)
    return {
        "crewdesk": "job",
        "schema": 2,
        "job": {
            "name": "Hill house",
            "customer": "Ada Quill",
            "site": "Lot 7",
            "notes": "",
            "section": {"width": "8", "height": "10"},
            "step": "1/32",
            "zone": "America/Denver",
            "stages": USUAL_STAGES.to_doc(),
        },
        "beams": {"1": beam("1", "Great room"), "2": beam("2", "Great room")},
        "entries": {
            "1": {"start": WHEN.format(7, 0), "stop": at, "stage": "rip", "pieces": [["1", "A"]]},
        },
        "materials": {"1": {"text": "oak", "quantity": "5/2", "price": "4.00"}},
        "orders": {"1": {"text": "Post", "hour": "85.00"}},
        "boards": {},
        "unsettled": {
            "1": {
                "what": "renamed beam 2",
                "when": at,
                "against": "renamed beam 2 on another computer",
                "edits": [{"at": ["beams", "2", "name"], "after": "Loft"}],
            }
        },
    }


def beam(name: str, room: str, form: str = "usual", **more: Any) -> Doc:
    """A beam nothing was read of, as a job file has it."""
    pieces = {key: {"readings": {}, "steps": {}} for key in FORMS[form].pieces}
    own = {} if form == "usual" else {"form": form}
    section = {"width": "8", "height": "10"}
    return {
        **{"name": name, "room": room, "ends": ["north", "south"], "ceiling": "flat"},
        **{"note": "", "section": section, "pieces": pieces, **own, **more},
    }


_NAMES = st.text("abc d'\u00e9\u6728[]=/0", min_size=1, max_size=12).filter(str.strip)
_EIGHTHS = st.integers(0, 7).map(lambda part: f"{part}/8")
_MONEY = st.integers(0, 90_000).map(lambda cents: f"{cents // 100}.{cents % 100:02}")
_PERCENT = st.sampled_from(("0", "7.5", "15", "30"))
_ZONES = st.sampled_from(("", "America/Denver", "Pacific/Kiritimati", "UTC", "Mars/Olympus"))
_DAYS = st.integers(1, 28).map(lambda day: f"2026-03-{day:02}")


@st.composite
def _moments(draw: st.DrawFn) -> str:
    return WHEN.format(draw(st.integers(6, 18)), draw(st.integers(0, 59)))


@st.composite
def _sections(draw: st.DrawFn) -> Doc:
    whole: Doc = {
        "width": f"{draw(st.integers(48, 96))}/8",
        "height": f"{draw(st.integers(56, 112))}/8",
    }
    if draw(st.booleans()):
        whole |= {"reveal": draw(st.sampled_from(("0", "1/4", "3/8"))), "fit": "1/32"}
    return whole


@st.composite
def _readings(draw: st.DrawFn, kind: str) -> Doc:
    """Readings of a side or a bottom, as many as were taken."""
    when = draw(_moments())
    if kind == "side":
        run = f"{draw(st.integers(900, 1000))}/8"
        made = {"run": [{"value": run, "when": when, "instrument": "laser", "typed": run}]}
        for end in ("end1", "end2"):
            gap = f"{draw(st.integers(0, 12))}/32"
            lean = draw(st.sampled_from(("in", "out")))
            made[end] = [{"value": gap, "when": when, "lean": lean, "level": "24", "who": "Wren"}]
        names = draw(st.sets(st.sampled_from(tuple(made))))
        return {name: one for name, one in made.items() if name in names}
    if kind == "bottom" and draw(st.booleans()):
        return {"opening": [{"value": f"{draw(st.integers(900, 1000))}/8", "when": when}]}
    return {}


@st.composite
def _beams(draw: st.DrawFn, row: str) -> Doc:
    form = draw(st.sampled_from(tuple(FORMS)))
    made = beam(f"{draw(_NAMES)} {row}", draw(_NAMES), form, section=draw(_sections()))
    if form == "ridge":
        made |= {"pitch": "4/12", "height_b": draw(st.sampled_from(("9", "10", "")))}
        made["section"] |= {"width": "8", "height": "12"}
    elif "mitred" not in form and draw(st.booleans()):
        slope = {"pitch": draw(st.sampled_from(("4/12", "18deg", "")))}
        made |= {"ceiling": "sloped", **slope, "low": draw(st.sampled_from((1, 2)))}
    if form == "uneven":
        made["height_b"] = "11"
    if draw(st.booleans()):
        made |= {
            "rough": f"{draw(st.integers(100, 140))}",
            "drop": draw(st.sampled_from(("", "7"))),
        }
    for key, piece in made["pieces"].items():
        piece["readings"] = draw(_readings(KIND_OF[key]))
        piece["steps"] = draw(_marks(KIND_OF[key], FORMS[form].traits))
    if draw(st.booleans()):
        made["pair"] = draw(_pairs())
    untouched = not any(one["readings"] or one["steps"] for one in made["pieces"].values())
    if untouched and draw(st.booleans()):
        del made["pieces"]  # a job file may leave out what is empty
    return made


@st.composite
def _marks(draw: st.DrawFn, kind: str, traits: frozenset[str]) -> Doc:
    """How far a piece is: so many of its steps done, one maybe blocked or skipped."""
    way = USUAL_STAGES.steps_of(kind, traits)
    so_far = draw(st.integers(0, len(way)))
    marks: Doc = {one.id: {"state": "done", "when": draw(_moments())} for one in way[:so_far]}
    if so_far < len(way) and draw(st.booleans()):
        state = draw(st.sampled_from(("blocked", "skipped")))
        marks[way[so_far].id] = {"state": state, "when": draw(_moments()), "reason": "a knot"}
    return marks


@st.composite
def _pairs(draw: st.DrawFn) -> Doc:
    pair: Doc = {}
    if draw(st.booleans()):
        places = ("0", "60", "120")
        heights = [[at, *(f"{draw(st.integers(480, 490))}/8" for _ in "AB")] for at in places]
        pair["ceiling"] = [{"stations": heights, "when": draw(_moments()), "instrument": "laser"}]
    if draw(st.booleans()):
        square = {"gap": draw(_EIGHTHS), "leg": "24", "longer": draw(st.sampled_from("AB"))}
        pair[draw(st.sampled_from(("square1", "square2")))] = [{**square, "when": draw(_moments())}]
    return pair


@st.composite
def _drawn_jobs(draw: st.DrawFn) -> Doc:
    document = small_job()
    rows = [str(n) for n in range(1, 1 + draw(st.integers(0, 3)))]
    document["beams"] = {row: draw(_beams(row)) for row in rows}
    job = document["job"]
    job |= {"name": draw(_NAMES), "customer": draw(_NAMES), "zone": draw(_ZONES)}
    job |= {"section": draw(_sections()), "step": draw(st.sampled_from(("1/16", "1/32", "mm")))}
    if draw(st.booleans()):
        job |= {"share": "evenly", "billing": draw(st.sampled_from(("", "price", "rates")))}
        job |= {"hour": draw(_MONEY), "planned": [{"day": draw(_DAYS), "note": "tack"}]}
        job["read_to"] = {"laser": draw(st.sampled_from(("1/8", "1/32")))}
        job["cutting"] = {"kerf": "1/8", "spare_count": "1", "match": draw(_some(rows))}
    if draw(st.booleans()):
        job["other_work"] = [{"id": "travel", "name": "On the road"}]
    stages = [stage["id"] for stage in job["stages"]] + ["travel", "a stage dropped since"]
    orders = draw(st.integers(0, 2))
    document["orders"] = {
        str(n): {"text": draw(_NAMES), draw(st.sampled_from(("price", "hour"))): draw(_MONEY)}
        for n in range(1, 1 + orders)
    }
    document["entries"] = {}
    for n in range(draw(st.integers(0, 3))):
        entry: Doc = {"start": WHEN.format(7 + 3 * n, 0), "stage": draw(st.sampled_from(stages))}
        if n < 2 or draw(st.booleans()):
            entry["stop"] = WHEN.format(9 + 3 * n, draw(st.integers(0, 59)))
        if orders and draw(st.booleans()):
            entry |= {"order": "1", "billable": draw(st.booleans())}
        if rows and draw(st.booleans()):
            entry["pieces"] = [["1", "A"]]
        document["entries"][str(n + 1)] = entry
    document["materials"] = {
        str(n): {"text": draw(_NAMES), "quantity": "5/2", "price": draw(_MONEY),
                 "waste": draw(_PERCENT)}
        for n in range(1, 1 + draw(st.integers(0, 2)))
    }  # fmt: skip
    return document


def _some(rows: list[str]) -> st.SearchStrategy[list[str]]:
    return st.sampled_from(([], ["all"], rows))


def sound_jobs() -> st.SearchStrategy[Doc]:
    """Documents of jobs that import must take."""
    return st.one_of(
        _drawn_jobs(), st.builds(sample_job), _drawn_jobs(), st.builds(small_job), _drawn_jobs()
    )


# One thing off

OTHER_TYPES: tuple[Any, ...] = (None, True, 7, -1, 0.5, "", "x", [], {}, [[]], [{}], "7", 10**14)
OTHER_TEXTS = (
    "\u0661\u0662",
    "1_0",
    "1\u0660",
    "\u200b",
    "\u2060\ufeff",
    "\u3164",
    "../../etc/passwd",
    "NaN",
    "inf",
    "1e9",
    "-1",
    "0",
    "-1/3",
    "1/0",
    "9" * 90,
    "1/" + "9" * 90,
    "999999",
    "1/1000000",
    "2026-02-30",
    "2026-03-02",
    "2026-03-02T07:30:00",
    "2026-03-02T07:30:00+23:59",
    "1970-01-01T00:00:00-12:00",
    "2200-12-31T23:59:59-12:00",
    "999999999.99",
    " ",
    "A",
    "B",
    "all",
    "\x00",
)
GONE = ("77", "gone", "Z", "rip", "1", "2")


def nearly_sound_jobs() -> st.SearchStrategy[NearlySound]:
    """Documents with one thing off; import may take or refuse each."""
    return _nearly_sound()


@st.composite
def _nearly_sound(draw: st.DrawFn) -> NearlySound:
    document = draw(sound_jobs())
    what = draw(st.sampled_from(tuple(_OFF)))
    fits, put_off = _OFF[what]
    kinds: dict[Path_, list[Path_]] = {}
    for path, value in places(document):
        if fits(path, value):
            kinds.setdefault(_kind(path), []).append(path)
    if not kinds:
        return NearlySound(document, "nothing", ())
    at = draw(st.sampled_from(kinds[draw(st.sampled_from(tuple(kinds)))]))
    here: Any = document
    for key in at[:-1]:
        here = here[key]
    put_off(draw, here, at[-1])
    return NearlySound(document, what, at)


def places(here: Any, at: Path_ = ()) -> Iterator[tuple[Path_, Any]]:
    """Each path of a document with what stands there."""
    inner = here.items() if isinstance(here, dict) else enumerate(here)
    for key, value in inner:
        yield (*at, key), value
        if isinstance(value, dict | list):
            yield from places(value, (*at, key))


def _kind(path: Path_) -> Path_:
    """A path without rows, places in lists and pieces: what sort of thing stands there."""
    return tuple(
        "*" if isinstance(one, int) or one.isdigit() or one in KIND_OF else one for one in path
    )


_Off = Callable[[st.DrawFn, Any, Any], None]


def _anything(path: Path_, _value: Any) -> bool:
    return path != ("crewdesk",)


def _text(_path: Path_, value: Any) -> bool:
    return isinstance(value, str)


def _key(path: Path_, _value: Any) -> bool:
    return isinstance(path[-1], str) and len(path) > 1


def _list(_path: Path_, value: Any) -> bool:
    return isinstance(value, list) and len(value) > 0


def _reference(path: Path_, value: Any) -> bool:
    """Whether a text names something else of the job: a stage, a step, an order, a beam."""
    named = (path[0], *path[2:3])
    return isinstance(value, str) and (
        named in (("entries", "stage"), ("entries", "order"))
        or (path[0] in ("entries", "boards") and "pieces" in path and path[-1] in (0, 1))
        or ("needs" in path and path[-1] in ("step", "what", "who", "sort", "of"))
        or path[-1] == "id"
        or "match" in path
        or (path[0] == "unsettled" and "at" in path)
    )


def _retyped(draw: st.DrawFn, here: Any, key: Any) -> None:
    here[key] = draw(st.sampled_from([one for one in OTHER_TYPES if one != here[key]]))


def _rewritten(draw: st.DrawFn, here: Any, key: Any) -> None:
    here[key] = draw(st.sampled_from(OTHER_TEXTS))


def _dropped(_draw: st.DrawFn, here: Any, key: Any) -> None:
    del here[key]


def _renamed(draw: st.DrawFn, here: Any, key: Any) -> None:
    here[draw(st.sampled_from((*GONE, "\u0661", "01", "\u200b")))] = here.pop(key)


def _added(draw: st.DrawFn, here: Any, key: Any) -> None:
    here[draw(st.sampled_from(("top", "nail", "low", "plan", "order", "own_cut")))] = here[key]


def _disordered(draw: st.DrawFn, here: Any, key: Any) -> None:
    rows = here[key]
    way = draw(st.sampled_from(("reversed", "twice", "empty")))
    here[key] = {"reversed": rows[::-1], "twice": [*rows, deepcopy(rows[0])], "empty": []}[way]


def _swapped(_draw: st.DrawFn, here: Any, key: Any) -> None:
    """A stop and its start, or a low and its high, change places."""
    other = {"start": "stop", "low": "high"}[key]
    here[key], here[other] = here.get(other, here[key]), here[key]


def _before_another(path: Path_, _value: Any) -> bool:
    return path[0] in ("entries", "accepted") and path[-1] in ("start", "low")


def _astray(draw: st.DrawFn, here: Any, key: Any) -> None:
    here[key] = draw(st.sampled_from([one for one in GONE if one != here[key]]))


_OFF: dict[str, tuple[Callable[[Path_, Any], bool], _Off]] = {
    "of another type": (_anything, _retyped),
    "another text": (_text, _rewritten),
    "left out": (_key, _dropped),
    "by another key": (_key, _renamed),
    "one more key": (_key, _added),
    "a list out of order": (_list, _disordered),
    "a reference astray": (_reference, _astray),
    "the wrong way round": (_before_another, _swapped),
}

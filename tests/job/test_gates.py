"""Every sort of need, one at a time, then the usual stages as they run on a ceiling."""

from datetime import timedelta

import pytest

from crewdesk.job import gates, take, ticks
from crewdesk.job.beam import Beam
from crewdesk.job.stages import Need, Stage, Stages, Step
from crewdesk.job.ticks import Spot
from crewdesk.job.usual_stages import USUAL_STAGES

WHEN = "2026-03-02T08:00:00-05:00"
LATER = "2026-03-02T09:00:00-05:00"


@pytest.fixture
def beam():
    """Builds a beam out of marks and readings by piece."""

    def build(steps=None, readings=None):
        pieces = {
            key: {
                "steps": {
                    id_: {"state": state, "when": when}
                    for id_, (state, when) in (steps or {}).get(key, {}).items()
                },
                "readings": {
                    what: [{"value": value, "when": when, **more} for value, when, more in taken]
                    for what, taken in (readings or {}).get(key, {}).items()
                },
            }
            for key in ("A", "B", "bottom", "cleats")
        }
        doc = {
            "name": "Ridge",
            "room": "Loft",
            "ends": ["north", "south"],
            "ceiling": "flat",
            "section": {"width": "8", "height": "10"},
            "pieces": pieces,
        }
        return Beam.from_doc("1", doc)

    return build


def stages_with(*needs):
    first = Step("first", "Rip it", ("side", "bottom", "cleats"), ())
    last = Step("last", "Nail it", ("side", "bottom", "cleats"), needs)
    return Stages((Stage("one", "Mill", (first,)), Stage("two", "Hang", (last,))))


def gate(stages, beam, key="A", step="last"):
    return gates.closed(stages, beam, beam.piece(key), stages.step(step))


def test_a_step_without_needs_is_open(beam) -> None:
    assert gate(stages_with(), beam()) is None
    assert (
        gates.state(stages_with(), beam(), beam().piece("A"), stages_with().step("last")) == "ready"
    )


@pytest.mark.parametrize(
    ("mark", "open_"), [(None, False), ("blocked", False), ("skipped", True), ("done", True)]
)
def test_earlier_steps_of_the_piece(beam, mark, open_) -> None:
    stages = stages_with(Need("earlier"))
    said = gate(stages, beam({"A": {"first": (mark, WHEN)}} if mark else None))
    assert (said is None) == open_
    if said:
        # What is missing, on which piece, and in which stage to enter it.
        assert said == "Loft Ridge side A is not through 'Rip it' yet; tick it first, in Mill."


def test_earlier_looks_at_this_piece_alone_and_only_at_steps_before(beam) -> None:
    stages = stages_with(Need("earlier"))
    assert gate(stages, beam({"B": {"first": ("done", WHEN)}})) is not None
    assert gate(stages, beam(), step="first") is None
    for_bottoms = Stages(
        (
            Stage("one", "Mill", (Step("first", "Rip it", ("bottom",), ()),)),
            Stage("two", "Hang", (Step("last", "Nail it", ("side",)),)),
        )
    )
    assert gate(for_bottoms, beam()) is None


@pytest.mark.parametrize(
    ("who", "key", "on"),
    [
        ("partner", "A", ("B",)),
        ("partner", "B", ("A",)),
        ("sides", "bottom", ("A", "B")),
        ("bottom", "A", ("bottom",)),
        ("cleats", "B", ("cleats",)),
    ],
)
@pytest.mark.parametrize("mark", ["done", "skipped", "blocked"])
def test_done_on_another_piece(beam, who, key, on, mark) -> None:
    stages = stages_with(Need("done", who=who, step="first"))
    for left_out in on:
        marks = {one: {"first": ("done", WHEN)} for one in on if one != left_out}
        said = gate(stages, beam(marks), key)
        assert said is not None
        name = beam().piece(left_out).name
        assert name in said
        assert "'Rip it' is not done on it; tick it there, in Mill." in said
    whole = {one: {"first": (mark, WHEN)} for one in on}
    assert (gate(stages, beam(whole), key) is None) == (mark != "blocked")


def test_a_need_of_a_piece_that_the_beam_lacks_is_met(beam) -> None:
    # A beam against a wall has one side alone: it waits for no partner.
    one_sided = beam()
    one_sided = one_sided._replace(pieces={"A": one_sided.piece("A")})
    assert gate(stages_with(Need("done", who="partner", step="first")), one_sided) is None


def test_a_need_of_a_step_that_is_gone_is_met(beam) -> None:
    for sort in ("done", "read after"):
        need = Need(sort, who="partner", step="long-gone", what="run")
        read = {"A": {"run": [("100", WHEN, {})]}}
        assert gate(stages_with(need), beam(readings=read)) is None


def test_a_reading_must_be_there_and_believable(beam) -> None:
    stages = stages_with(Need("reading", what="run"))
    said = gate(stages, beam())
    assert said == (
        "The run along the bottom line of Loft Ridge side A has not been read; "
        "enter it among its readings."
    )
    assert gate(stages, beam(readings={"A": {"run": [("587/4", WHEN, {})]}})) is None
    hard = gate(stages, beam(readings={"A": {"run": [("2", WHEN, {})]}}))
    assert hard is not None
    assert "hard to believe" in hard
    # The latest reading counts, the earlier ones stay.
    mended = {"A": {"run": [("2", WHEN, {}), ("587/4", LATER, {})]}}
    assert gate(stages, beam(readings=mended)) is None


@pytest.mark.parametrize(
    ("up", "read", "open_"),
    [
        (WHEN, LATER, True),
        (WHEN, WHEN, True),
        (LATER, WHEN, False),
        # The same moment, told at two offsets.
        (LATER, "2026-03-02T14:00:00+00:00", True),
        (LATER, "2026-03-02T13:59:59+00:00", False),
        (None, LATER, False),
    ],
)
def test_read_after(beam, up, read, open_) -> None:
    stages = stages_with(Need("read after", who="sides", step="first", what="opening"))
    marks = {"A": {"first": ("done", WHEN)}, "B": {"first": ("done", up)} if up else {}}
    built = beam(marks, {"bottom": {"opening": [("147", read, {})]}})
    said = gate(stages, built, "bottom")
    assert (said is None) == open_
    if said and up:
        assert "was read before side B was up; read it again" in said


def test_read_after_wants_a_reading(beam) -> None:
    stages = stages_with(Need("read after", who="sides", step="first", what="opening"))
    marks = {key: {"first": ("done", WHEN)} for key in "AB"}
    said = gate(stages, beam(marks), "bottom")
    assert said is not None
    assert "has not been read" in said


def test_both_sides_up_and_level_before_either_is_scribed(record, walk, now, refusing) -> None:
    # Common practice, no source: both sides of a pair up and level before either is scribed.
    walk(record, record.make, "level", now)
    at = now + timedelta(days=1)
    a, b = Spot("1", "A"), Spot("1", "B")
    record.make(ticks.tick(record, a, "level", at))
    said = refusing(ticks.tick, record, a, "scribe", at)
    assert "side B" in said
    assert "Level the pair" in said
    assert "Tack" in said
    record.make(ticks.tick(record, b, "level", at))
    for spot in (a, b):
        record.make(ticks.tick(record, spot, "scribe", at))


def test_the_pair_is_tacked_before_it_is_levelled(record, walk, now, refusing) -> None:
    walk(record, record.make, "tack", now)
    at = now + timedelta(days=1)
    record.make(ticks.tick(record, Spot("1", "A"), "tack", at))
    assert "side B" in refusing(ticks.tick, record, Spot("1", "A"), "level", at)


def test_the_bottom_is_read_between_nailed_sides(record, walk, now, refusing) -> None:
    # Common practice, no source: only between the installed sides is the bottom measured.
    walk(record, record.make, "nail-side", now)
    bottom, at = Spot("1", "bottom"), now + timedelta(days=1)

    def read(text: str, when) -> None:
        reading = take.typed_reading(record, "opening", text, when)
        record.make(take.take(record, bottom, "opening", reading))

    read("12' 3 1/4", at)
    assert "'Push up and nail' is not done" in refusing(
        ticks.tick, record, bottom, "cut-bottom", at
    )
    for hour, key in enumerate("AB", 1):
        record.make(ticks.tick(record, Spot("1", key), "nail-side", at + timedelta(hours=hour)))
    at += timedelta(hours=3)
    said = refusing(ticks.tick, record, bottom, "cut-bottom", at)
    assert "was read before side A was up" in said
    read("13' 3 1/4", at)
    assert "doesn't fit the sides' readings" in refusing(
        ticks.tick, record, bottom, "cut-bottom", at
    )
    read("12' 3 1/8", at)
    record.make(ticks.tick(record, bottom, "cut-bottom", at))
    assert record.beam("1").piece("bottom").steps["cut-bottom"].override == ""


def test_every_piece_gets_through_the_usual_stages_with_no_gate_passed(record, walk, now) -> None:
    walk(record, record.make, "", now)
    for beam in record.beams:
        for piece in beam.pieces.values():
            for step in USUAL_STAGES.steps_of(piece.kind):
                mark = piece.steps[step.id]
                assert (mark.state, mark.override) == ("done", "")


def test_at_the_start_only_ripping_is_ready(record) -> None:
    ready = {
        step.id
        for beam in record.beams
        for piece in beam.pieces.values()
        for step in record.stages.steps_of(piece.kind)
        if gates.state(record.stages, beam, piece, step) == "ready"
    }
    # Scraping the ceiling is nobody's first step: it is told by the side that goes up there.
    assert ready == {"rip-side", "rip-bottom", "rip-cleats"}

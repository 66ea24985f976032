"""Every sort of need, one at a time, then the usual stages as they run on a ceiling."""

from datetime import timedelta

import pytest

from crewdesk.job.beams import take
from crewdesk.job.beams.beam import Beam
from crewdesk.job.beams.forms import FORMS
from crewdesk.job.beams.piece import KIND_OF
from crewdesk.job.cuts.scribing import read_ceiling, typed_stations
from crewdesk.job.steps import gates, ticks
from crewdesk.job.steps.stages import TRUTHS, Need, Stage, Stages, Step
from crewdesk.job.steps.ticks import Spot
from crewdesk.job.steps.usual_stages import USUAL_STAGES
from crewdesk.trade.read_length import read_length

WHEN = "2026-03-02T08:00:00-05:00"
LATER = "2026-03-02T09:00:00-05:00"


@pytest.fixture
def beam():
    """Builds a beam out of marks and readings by piece."""

    def build(steps=None, readings=None, form="usual", pair=None, **more):
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
            for key in FORMS[form].pieces
        }
        doc = {
            "name": "Ridge",
            "room": "Loft",
            "ends": ["north", "south"],
            "ceiling": "flat",
            "section": {"width": "8", "height": "10"},
            "pieces": pieces,
            "form": form,
            "pair": pair or {},
            **more,
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
        assert said == "'Rip it' isn't done on Loft Ridge side A. Check it off first, in Mill."


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
        assert "'Rip it' isn't done on it. Check it off there, in Mill." in said
    whole = {one: {"first": (mark, WHEN)} for one in on}
    assert (gate(stages, beam(whole), key) is None) == (mark != "blocked")


def test_a_need_of_a_piece_that_the_beam_lacks_is_met(beam) -> None:
    # A beam against a wall has one side alone: it waits for no partner.
    one_sided = beam()
    one_sided = one_sided._replace(pieces={"A": one_sided.piece("A")})
    assert gate(stages_with(Need("done", who="partner", step="first")), one_sided) is None


@pytest.mark.parametrize("sort", ["done", "read after"])
def test_a_need_of_a_step_that_is_gone_stays_closed(beam, sort) -> None:
    need = Need(sort, who="partner", step="nail-side", what="run")
    said = gate(stages_with(need), beam(readings={"A": {"run": [("100", WHEN, {})]}}))
    assert said == (
        "'Push up and nail' isn't among the steps any more. Put it back, or change what "
        "'Nail it' needs, on the Stages page."
    )


def test_a_need_of_a_step_that_is_for_other_pieces_now_stays_closed(beam) -> None:
    first = Step("first", "Rip it", ("bottom",), ())
    last = Step("last", "Nail it", ("side",), (Need("done", who="partner", step="first"),))
    said = gate(Stages((Stage("one", "Mill", (first, last)),)), beam())
    assert said is not None
    assert "'Rip it' isn't a step of Loft Ridge side B any more" in said


def test_a_step_that_the_beam_s_type_spares_is_not_waited_for(beam) -> None:
    # The sides of a box are not scribed: its cleats wait for no scribe cut.
    first = Step("first", "Scribe it", ("side",), (), "ceiling")
    last = Step("last", "Nail it", ("cleats",), (Need("done", who="sides", step="first"),))
    stages = Stages((Stage("one", "Mill", (first, last)),))
    assert gate(stages, beam(form="box"), "cleats") is None
    assert gate(stages, beam(), "cleats") is not None


def test_a_step_done_on_the_piece_itself_is_a_fact_like_others(beam) -> None:
    stages = stages_with(Need("done", who="piece", step="first"))
    assert gate(stages, beam({"B": {"first": ("done", WHEN)}})) is not None
    assert gate(stages, beam({"A": {"first": ("done", WHEN)}})) is None


def test_a_reading_must_be_there_and_believable(beam) -> None:
    stages = stages_with(Need("reading", what="run"))
    said = gate(stages, beam())
    assert said == (
        "The wall-to-wall length along the bottom line of Loft Ridge side A hasn't been measured. "
        "Type it among its readings."
    )
    assert gate(stages, beam(readings={"A": {"run": [("587/4", WHEN, {})]}})) is None
    hard = gate(stages, beam(readings={"A": {"run": [("2", WHEN, {})]}}))
    assert hard is not None
    assert "seems wrong; it should be from" in hard
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
        assert "was measured before 'Rip it' was done on side B; measure it again" in said


def test_read_after_wants_a_reading(beam) -> None:
    stages = stages_with(Need("read after", who="sides", step="first", what="opening"))
    marks = {key: {"first": ("done", WHEN)} for key in "AB"}
    said = gate(stages, beam(marks), "bottom")
    assert said is not None
    assert "hasn't been measured" in said


def ceiling(*spots):
    stations = [[spot, "14", "14"] for spot in spots]
    return {"ceiling": [{"stations": stations, "when": WHEN}]}


@pytest.mark.parametrize(
    ("spots", "lacks"),
    [
        ((), "hasn't been measured. Measure it at both ends and the center"),
        (("0", "73", "147"), None),
        (("0", "73", "100"), "hasn't been measured at end 2"),
        (("0", "20", "147"), "hasn't been measured at the center"),
        (("7", "73", "147"), "hasn't been measured at end 1"),
        (("7", "73", "140"), "hasn't been measured at end 1 and end 2"),
        (("6", "60", "141"), None),
    ],
)
def test_a_side_is_scribed_once_the_ceiling_is_read_at_both_ends_and_the_center(
    beam, spots, lacks
) -> None:
    # Common practice, no source: the scriber is set by the ceiling's highest spot over both.
    runs = {key: {"run": [("147", WHEN, {})]} for key in "AB"}
    stages = stages_with(*TRUTHS["scribe"])
    said = gate(stages, beam(readings=runs, pair=ceiling(*spots) if spots else {}))
    assert (said is None) == (lacks is None)
    if lacks:
        assert said is not None
        assert lacks in said
        assert "Ceiling page" in said


def test_a_scribe_waits_for_the_ceiling_in_the_usual_stages(beam) -> None:
    before = [step.id for step in USUAL_STAGES.steps_of("side")]
    before = before[: before.index("scribe")]
    marks = {key: dict.fromkeys(before, ("done", WHEN)) for key in "AB"}
    said = gate(USUAL_STAGES, beam(marks), step="scribe")
    assert said is not None
    assert said.startswith("The ceiling over Loft Ridge hasn't been measured")
    read = beam(marks, pair=ceiling("0", "73", "147"))
    assert gate(USUAL_STAGES, read, step="scribe") is None


SIDE_READ = {
    "run": [("147", WHEN, {})],
    "end1": [("0", WHEN, {"lean": "in", "level": "24"})],
    "end2": [("0", WHEN, {"lean": "in", "level": "24"})],
}


def test_cleats_wait_for_both_sides_scribe_cut_and_readings(beam) -> None:
    # Common practice, no source: a cleat's line hangs on the side's bottom edge, which is
    # known for good once its top is cut to the scribe.
    marks = {key: {"cleat-line": ("done", WHEN), "cut-side": ("done", WHEN)} for key in "AB"}
    marks["cleats"] = {"rip-cleats": ("done", WHEN)}
    both = dict.fromkeys("AB", SIDE_READ)
    marks["A"]["cut-scribe"] = ("done", WHEN)
    said = gate(USUAL_STAGES, beam(marks, both), "cleats", "fix-cleats")
    assert said is not None
    assert "side B comes first: 'Cut to the scribe line' isn't done on it" in said
    marks["B"]["cut-scribe"] = ("done", WHEN)
    assert gate(USUAL_STAGES, beam(marks, both), "cleats", "fix-cleats") is None
    for what in SIDE_READ:
        lacking = {**both, "B": {key: one for key, one in SIDE_READ.items() if key != what}}
        said = gate(USUAL_STAGES, beam(marks, lacking), "cleats", "fix-cleats")
        assert said is not None
        assert "of Loft Ridge side B hasn't been measured." in said


def test_the_cleats_of_a_box_wait_for_no_scribe(beam) -> None:
    marks = {key: {"cleat-line": ("done", WHEN), "cut-side": ("done", WHEN)} for key in "AB"}
    marks["cleats"] = {"rip-cleats": ("done", WHEN)}
    both = dict.fromkeys("AB", SIDE_READ)
    assert gate(USUAL_STAGES, beam(marks, both, "box"), "cleats", "fix-cleats") is None


def test_a_top_board_is_gated_by_its_sides_as_a_bottom_is(beam) -> None:
    marks = {key: {"cut-side": ("done", WHEN)} for key in "AB"}
    marks["top"] = {"rip-top": ("done", WHEN)}
    both = dict.fromkeys("AB", SIDE_READ)
    assert gate(USUAL_STAGES, beam(marks, both, "box"), "top", "fix-top") is None
    for what in SIDE_READ:
        lacking = {**both, "B": {key: one for key, one in SIDE_READ.items() if key != what}}
        said = gate(USUAL_STAGES, beam(marks, lacking, "box"), "top", "fix-top")
        assert said is not None
        assert "side B hasn't been measured" in said
    odd = {**both, "A": {**SIDE_READ, "run": [("2", WHEN, {})]}}
    said = gate(USUAL_STAGES, beam(marks, odd, "box"), "top", "fix-top")
    assert said is not None
    assert "seems wrong; it should be from" in said


@pytest.mark.parametrize(
    ("runs", "square", "why"),
    [
        # Two readings to 1/32 in by one laser are within half of it each (JCGM 100:2008,
        # F.2.2.1), and 1/32 in for its spot (common practice, no source).
        (("147", "147-1/16"), None, None),
        (("147", "147-3/32"), None, "Side A and side B of Loft Ridge differ by 3/32 in"),
        (("147", "147"), ("0", "1/4"), "The wall at end 2 of Loft Ridge is out of square"),
        (("147", "147"), ("0", "0"), None),
    ],
)
def test_edge_b_is_read_before_the_bottom_is_cut_between_walls_out_of_square(
    beam, runs, square, why
) -> None:
    values = [str(read_length(run, unit="in")) for run in runs]
    marks = {key: {"nail-side": ("done", WHEN)} for key in "AB"}
    marks["bottom"] = {"rip-bottom": ("done", WHEN), "sand": ("done", WHEN)}
    by = {"instrument": "laser"}
    read = {key: {"run": [(v, WHEN, by)]} for key, v in zip("AB", values, strict=True)}
    read["bottom"] = {"opening": [("147", LATER, {})]}
    pair = {
        f"square{end}": [{"gap": gap, "leg": "24", "longer": "B", "when": WHEN}]
        for end, gap in enumerate(square or (), 1)
    }
    said = gate(USUAL_STAGES, beam(marks, read, pair=pair), "bottom", "cut-bottom")
    assert (said is None) == (why is None)
    if why:
        assert said is not None
        assert said.startswith(why)
        assert "Measure edge B too" in said
        read["bottom"]["edge_b"] = [("147", LATER, {})]
        assert gate(USUAL_STAGES, beam(marks, read, pair=pair), "bottom", "cut-bottom") is None


def test_both_sides_up_and_level_before_either_is_scribed(record, walk, now, refusing) -> None:
    # Common practice, no source: both sides of a pair up and level before either is scribed.
    walk(record, record.make, "level", now)
    at = now + timedelta(days=1)
    a, b = Spot("1", "A"), Spot("1", "B")
    record.make(ticks.tick(record, a, "level", at))
    said = refusing(ticks.tick, record, a, "scribe", at)
    assert "side B" in said
    assert "Level at ends" in said
    assert "Tack" in said
    record.make(ticks.tick(record, b, "level", at))
    level = typed_stations(record, [(spot, "14", "14") for spot in ("0", "73", "147")])
    record.make(read_ceiling(record, "1", level, at))
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
    assert "'Push up and nail' isn't done" in refusing(ticks.tick, record, bottom, "cut-bottom", at)
    for hour, key in enumerate("AB", 1):
        record.make(ticks.tick(record, Spot("1", key), "nail-side", at + timedelta(hours=hour)))
    at += timedelta(hours=3)
    said = refusing(ticks.tick, record, bottom, "cut-bottom", at)
    assert "was measured before side A was up" in said
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


def ways(form: str) -> dict[str, list[str]]:
    """By kind, the ids of the usual steps of a beam of that form."""
    kinds = {KIND_OF[key] for key in FORMS[form].pieces}
    return {k: [s.id for s in USUAL_STAGES.steps_of(k, FORMS[form].traits)] for k in kinds}


@pytest.mark.parametrize("form", FORMS)
def test_steps_fit_the_type(form) -> None:
    # Common practice, no source.
    way = ways(form)
    mitered, box = form.startswith("mitred"), form.endswith("box")
    assert ("ease" in way["side"]) != mitered  # a glue edge keeps its arris
    assert ("nail-bottom" in way["bottom"]) == ("cleats" in way)
    assert ("glue-bottom" in way["bottom"]) == mitered
    for step in ("tape", "scrape", "tack", "level", "scribe", "take-down", "cut-scribe"):
        assert (step in way["side"]) != box
    assert ("scribe-wall" in way["bottom"]) == (form == "wall")
    assert ("wall-cleat" in way.get("cleats", ())) == (form == "wall")


def test_along_a_wall_the_bottom_is_scribed_to_it_before_it_is_nailed() -> None:
    bottom = ways("wall")["bottom"]
    assert bottom.index("cut-bottom") < bottom.index("scribe-wall") < bottom.index("nail-bottom")
    needs = {(need.who, need.step) for need in USUAL_STAGES.step("scribe-wall").needs}
    assert {("sides", "nail-side"), ("cleats", "wall-cleat")} <= needs
    # Level with the side's cleat, so the side is up.
    needs = {(need.who, need.step) for need in USUAL_STAGES.step("wall-cleat").needs}
    assert {("sides", "cut-scribe"), ("sides", "nail-side")} <= needs


@pytest.mark.parametrize("form", FORMS)
def test_every_form_gets_through_the_usual_stages(form, beam) -> None:
    """No step waits for one that its beam does not have: each is open in some order."""
    keys = FORMS[form].pieces
    marks: dict = {key: {} for key in keys}
    read = {key: SIDE_READ for key in keys if key in "AB"}
    read["bottom"] = {"opening": [("147", LATER, {})], "edge_b": [("147", LATER, {})]}
    if form == "ridge":
        more = {"pitch": "6/12", "section": {"width": "8", "height": "14"}}
    else:
        more = {"height_b": "9"} if form == "uneven" else {}
    left = {(k, s) for k in keys for s in ways(form)[KIND_OF[k]]}
    while left:
        here = beam(marks, read, form, ceiling("0", "73", "147"), **more)
        ready = {one for one in left if gate(USUAL_STAGES, here, *one) is None}
        assert ready, sorted(left)
        for key, step in ready:
            marks[key][step] = ("done", WHEN)
        left -= ready

"""No change of the steps opens another step untold: every drop and every move of the shipped
steps, one and two of them, against facts reckoned here apart from `step_effects`; of the moves,
and of two at a time, the default run tries each fourth or fifth."""

from itertools import permutations, product

import pytest

from crewdesk.job.beams.forms import FORMS
from crewdesk.job.beams.piece import KIND_OF
from crewdesk.job.steps import restage
from crewdesk.job.steps.stages import Need, Stages
from crewdesk.job.steps.usual_stages import USUAL_STAGES
from tests.sampled import sampled

STEPS = [step.id for stage in USUAL_STAGES for step in stage.steps]
STAGES = [stage.id for stage in USUAL_STAGES]
WHY = "the mill does it"

Fact = tuple[str, ...]
"""A step done on a piece of a type of beam, or a reading of it."""


def facts(stages: Stages) -> dict[tuple[str, str, str], set[Fact]]:
    """By type of beam, piece and step: what must be so before that step may be done there."""
    found: dict[tuple[str, str, str], set[Fact]] = {}
    for form in FORMS.values():
        way = {
            key: [
                step
                for stage in stages
                for step in stage.steps
                if KIND_OF[key] in step.kinds and (not step.only or step.only in form.traits)
            ]
            for key in form.pieces
        }
        for key, steps in way.items():
            for at, step in enumerate(steps):
                here = found.setdefault((form.id, key, step.id), set())
                for need in step.needs:
                    if need.sort == "earlier":
                        here |= {("done", key, one.id) for one in steps[:at]}
                    elif need.sort == "out of square":
                        here.add(("edge", key, need.what))
                    else:
                        here |= asked(need, key, form.pieces, way)
    return found


def asked(need: Need, key: str, pieces: tuple[str, ...], way) -> set[Fact]:
    """What a need of a step of piece `key` asks of a beam's pieces."""
    if need.who == "beam":
        return {("read", "beam", need.what)}
    whom = {
        "": [key],
        "piece": [key],
        "partner": [{"A": "B", "B": "A"}.get(key, "")],
        "sides": ["A", "B"],
    }.get(need.who, [need.who])
    of = [one for one in whom if one in pieces]
    if need.sort == "reading":
        return {("read", one, need.what) for one in of}
    found: set[Fact] = {
        ("done", one, need.step) for one in of if any(s.id == need.step for s in way[one])
    }
    if need.sort == "read after" and found:
        found |= {("after", one, need.step, need.what) for one in of}
    return found


def opened(before: Stages, after: Stages) -> set[str]:
    """The steps that could be done after a change without something they waited for."""
    were, are = facts(before), facts(after)
    return {at[2] for at, old in were.items() if at in are and old - are[at]}


def told(record, act, *words, now) -> str:
    """Make a change of the steps, with the reason that it asks for; what it said first. Nothing
    that it opens may be untold, kept without its reason, or be asked about for nothing."""
    before, said = record.stages, ""
    try:
        change = act(record, *words, now)
    except restage.ReasonNeeded as asks:
        said = str(asks)
        change = act(record, *words, now, reason=WHY)
    except restage.NotAllowed:
        return ""  # it moves nothing
    record.make(change)
    after = record.stages
    found = opened(before, after)
    assert bool(found) == bool(said), (act.__name__, words, found, said)
    waived = {id_ for one in after.waived if one.what == change.what for id_, _ in one.needs}
    assert found <= waived, (act.__name__, words, found - waived)
    for id_ in found:
        name = before.step(id_).name
        more = " more would no longer wait" in said or " more need" in said
        assert f"'{name}'" in said or more, (act.__name__, words, name, said)
    assert not said or "give the reason" in said
    return said


@pytest.mark.parametrize("step", STEPS)
def test_dropping_a_step_opens_none_untold(fresh_record, now, step) -> None:
    told(fresh_record(), restage.drop_step, step, now=now)


@pytest.mark.parametrize(
    ("step", "by"), sampled(product(STEPS, (-4, -3, -2, -1, 1, 2, 3, 4, 9)), 4)
)
def test_moving_a_step_opens_none_untold(fresh_record, now, step, by) -> None:
    told(fresh_record(), restage.move_step, step, by, now=now)


@pytest.mark.parametrize("stage", STAGES)
def test_moving_or_dropping_a_stage_opens_none_untold(fresh_record, now, stage) -> None:
    told(fresh_record(), restage.drop_stage, stage, now=now)
    for by in range(-6, 7):
        if by:
            told(fresh_record(), restage.move_stage, stage, by, now=now)


@pytest.mark.parametrize("step", STEPS)
@pytest.mark.parametrize("kinds", [("bottom",), ("side",), ("side", "bottom"), ("cleats", "top")])
def test_a_step_for_other_pieces_opens_none_untold(fresh_record, now, step, kinds) -> None:
    told(fresh_record(), restage.for_kinds, step, kinds, now=now)


GATED = ("nail-side", "cleat-line", "cut-scribe", "tape", "level", "tack", "cut-side", "fix-cleats")
"""The steps that the gates rest on."""


@pytest.mark.parametrize(("first", "second"), sampled(permutations(GATED, 2), 5))
def test_two_steps_dropped_open_none_untold(fresh_record, now, first, second) -> None:
    record = fresh_record()
    for step in (first, second):
        told(record, restage.drop_step, step, now=now)
    kept_or_waived(record)


@pytest.mark.parametrize(
    ("moved", "by", "dropped"),
    sampled(product(GATED, (-2, 2), ("nail-side", "cut-scribe", "level")), 5),
)
def test_a_step_moved_and_one_dropped_open_none_untold(
    fresh_record, now, moved, by, dropped
) -> None:
    record = fresh_record()
    told(record, restage.move_step, moved, by, now=now)
    if moved != dropped:
        told(record, restage.drop_step, dropped, now=now)
    kept_or_waived(record)


@pytest.mark.parametrize(("first", "second"), sampled(permutations(STAGES, 2), 5))
def test_two_stages_moved_open_none_untold(fresh_record, now, first, second) -> None:
    record = fresh_record()
    told(record, restage.move_stage, first, -1, now=now)
    told(record, restage.move_stage, second, 2, now=now)
    kept_or_waived(record)


def kept_or_waived(record) -> None:
    """After several changes, all that a step lost against the shipped ones is waived."""
    waived = {id_ for one in record.stages.waived for id_, _ in one.needs}
    assert opened(USUAL_STAGES, record.stages) <= waived

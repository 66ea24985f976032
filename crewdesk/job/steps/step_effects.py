"""The effects of a change of the stages on gates, and the needs that a step can have.

They depend on the stages only, not on the job's progress: a step that no longer requires another is
found even if that one is done.
"""

from collections.abc import Iterator, Mapping
from typing import NamedTuple

from crewdesk.errors import NotAllowed
from crewdesk.job.beams.forms import FORMS
from crewdesk.job.beams.piece import KIND_OF
from crewdesk.job.beams.piece import PARTNER as PARTNER_OF
from crewdesk.job.beams.readings import BESIDE, NAMES, OF_KIND
from crewdesk.job.steps.stages import (
    BEAM,
    CEILING,
    EARLIER,
    KIND_OF_WHO,
    OUT_OF_SQUARE,
    PARTNER,
    PIECE,
    READINGS,
    Need,
    Stages,
    Step,
    Waiver,
    done,
    read,
)
from crewdesk.job.steps.usual_stages import kinds_told, step_name


class Effect(NamedTuple):
    """The effect of a change on one step: it loses `need`, or with `never` keeps a need that can no
    longer be met. Losing an earlier step counts as losing a need of sort "done" on the piece
    itself."""

    step: Step
    need: Need
    never: bool = False


def effects(before: Stages, after: Stages) -> tuple[Effect, ...]:
    """Return the effects of a change on the gates of steps that are there before and after, needs
    that can never be met first."""
    found = []
    were, are = _before(before), _before(after)
    impossible = set(_impossible(before))
    for stage in after:
        for step in stage.steps:
            if not before.has(step.id):
                continue
            old = before.step(step.id)
            lost = [need for need in old.needs if need not in step.needs]
            if EARLIER in old.needs and EARLIER in step.needs:
                lost += _no_longer_before(step, were[step.id], are[step.id])
            found += [Effect(step, need) for need in lost]
    never = [Effect(*one, never=True) for one in _impossible(after) if one not in impossible]
    return (*never, *found)


def _before(stages: Stages) -> dict[str, dict[str, frozenset[str]]]:
    """Return for each step id every step before it on pieces that go through both, and the kinds of
    those pieces."""
    found: dict[str, dict[str, frozenset[str]]] = {}
    passed: list[Step] = []
    for stage in stages:
        for step in stage.steps:
            found[step.id] = {
                one.id: shared for one in passed if (shared := _shared_kinds(one, step))
            }
            passed.append(step)
    return found


def _shared_kinds(one: Step, other: Step) -> frozenset[str]:
    traits = {one.only, other.only} - {""}
    if len(traits) > 1 and not any(traits <= form.traits for form in FORMS.values()):
        return frozenset()
    return frozenset(one.kinds) & frozenset(other.kinds)


def _no_longer_before(
    step: Step, were: Mapping[str, frozenset[str]], are: Mapping[str, frozenset[str]]
) -> Iterator[Need]:
    for id_, kinds in were.items():
        if (kinds - are.get(id_, frozenset())) & frozenset(step.kinds):
            yield done(PIECE, id_)


def still_waived(before: Stages, stages: Stages, waiver: Waiver) -> Waiver:
    """Return a waiver without the needs that its steps got again when the stages `before` became
    `stages`, and without those of steps that are gone."""
    were, are = _before(before), _before(stages)

    def open_still(id_: str, need: Need) -> bool:
        if not stages.has(id_):
            return False
        step = stages.step(id_)
        waits = EARLIER in step.needs and need.who == PIECE and need.step in are[id_]
        waited = were.get(id_, {}).get(need.step)
        again = (
            waits
            and waited != are[id_][need.step]
            and are[id_][need.step]
            >= frozenset(step.kinds) & frozenset(stages.step(need.step).kinds)
        )
        return need not in step.needs and not again

    return waiver._replace(needs=tuple(one for one in waiver.needs if open_still(*one)))


def check_needs(stages: Stages, of: str | None = None) -> None:
    """Raise `NotAllowed` if a step has a need that can't be met, or would wait for itself through
    others: every step, or the one with the id `of`."""
    for stage in stages:
        for step in stage.steps:
            if of in (None, step.id):
                for need in step.needs:
                    if (why := why_not(stages, step, need)) is not None:
                        raise NotAllowed(why)
    for step, need in _circular(stages):
        if of in (None, step.id):
            raise NotAllowed(f"{_waits_for_itself(stages, step, need)} Nothing was changed.")


def check_circles(stages: Stages) -> None:
    """Raise `NotAllowed` if a step needs itself, or steps need each other.

    Steps that wait for each other only by the order of work are allowed: older versions could move
    steps that way. See `never_met`.
    """
    for step, need in _circular(stages, by_order=False):
        raise NotAllowed(f"{_waits_for_itself(stages, step, need)} Nothing was changed.")


def never_met(stages: Stages) -> tuple[str, ...]:
    """Return a sentence for each need that no piece can meet as the stages are."""
    return tuple(
        why_not(stages, step, need) or _waits_for_itself(stages, step, need)
        for step, need in _impossible(stages)
    )


def _waits_for_itself(stages: Stages, step: Step, need: Need) -> str:
    if need.step == step.id:
        return f"'{step.name}' can't need itself. Remove that need."
    return (
        f"'{step.name}' would wait for itself: it needs "
        f"'{step_name(stages, need.step)}', which waits for it. Remove one of these "
        "needs."
    )


def why_not(stages: Stages, step: Step, need: Need) -> str | None:
    """Return None if pieces can meet a need of their step, else a sentence that says why not."""
    if need.sort == OUT_OF_SQUARE and step.kinds != ("bottom",):
        return f"'{step.name}' can't need edge B; only a step of bottoms alone can."
    if need.who == PARTNER and step.kinds != ("side",):
        return (
            f"'{step.name}' can't need the other side of a pair, because it is a step "
            f"of {kinds_told(step.kinds)}. Make it one of sides alone, or remove that "
            "need."
        )
    if need.sort in ("reading", "read after") and need.who != BEAM:
        of_others = need.sort == "reading" and need.who in KIND_OF_WHO
        kinds = (KIND_OF_WHO[need.who],) if of_others else step.kinds
        for kind in kinds:
            if need.what not in OF_KIND[kind]:
                return (
                    f"'{step.name}' can't need the {NAMES[need.what]}, which isn't "
                    f"measured on {kinds_told((kind,))}. Remove that need."
                )
    return _why_not_done(stages, step, need) if need.step else None


def _why_not_done(stages: Stages, step: Step, need: Need) -> str | None:
    if need.step == step.id:
        return _waits_for_itself(stages, step, need)
    if not stages.has(need.step):
        return (
            f"'{step.name}' can't need '{step_name(stages, need.step)}', which isn't "
            "among the steps. Remove that need, or add that step."
        )
    named = stages.step(need.step)
    kinds = step.kinds if need.who == PIECE else (KIND_OF_WHO[need.who],)
    for kind in kinds:
        if kind not in named.kinds:
            return (
                f"'{step.name}' can't need '{named.name}' on {kinds_told((kind,))}; that is a "
                f"step of {kinds_told(named.kinds)}."
            )
    return None


def _impossible(stages: Stages) -> list[tuple[Step, Need]]:
    """Return every need that no piece can meet with these stages."""
    found = [
        (step, need)
        for stage in stages
        for step in stage.steps
        for need in step.needs
        if why_not(stages, step, need) is not None
    ]
    return [*found, *(one for one in _circular(stages) if one not in found)]


_Node = tuple[str, str]
"""A piece's key and a step's id."""


def _circular(stages: Stages, *, by_order: bool = True) -> list[tuple[Step, Need]]:
    """Return every need of another step that waits, through others, for its own step; without
    `by_order` through needs alone, not through earlier steps."""
    found: dict[tuple[Step, Need], None] = {}
    for traits, keys in {(form.traits, form.pieces): None for form in FORMS.values()}:
        waits = {
            one: [(to, need) for to, need in needs if by_order or need is not None]
            for one, needs in _waits(stages, traits, keys).items()
        }
        circle = _in_circles({one: [to for to, _ in needs] for one, needs in waits.items()})
        for one in circle:
            for to, need in waits[one]:
                if need is not None and to in circle:
                    found[stages.step(one[1]), need] = None
    return list(found)


def _waits(
    stages: Stages, traits: frozenset[str], keys: tuple[str, ...]
) -> dict[_Node, list[tuple[_Node, Need | None]]]:
    """Return for each step of a beam's pieces the steps it waits for, and the need, or None if one
    only comes earlier. Earlier steps that another one already waits for are left out."""
    waits: dict[_Node, list[tuple[_Node, Need | None]]] = {}
    ways = {key: stages.steps_of(KIND_OF[key], traits) for key in keys}
    for key, way in ways.items():
        for at, step in enumerate(way):
            here = waits.setdefault((key, step.id), [])
            if EARLIER in step.needs:
                for one in reversed(way[:at]):
                    here.append(((key, one.id), None))
                    if EARLIER in one.needs:
                        break
            here += [
                ((other, need.step), need)
                for need in step.needs
                if need.step
                for other in _keys_of(need.who, key, keys)
                if any(one.id == need.step for one in ways[other])
            ]
    return waits


def _waiting_for(stages: Stages, id_: str) -> set[tuple[str, str]]:
    """Return the kinds of piece and steps that wait for a step, through others too, and the step
    itself."""
    found: set[tuple[str, str]] = set()
    for traits, keys in {(form.traits, form.pieces): None for form in FORMS.values()}:
        waits = _waits(stages, traits, keys)
        asked: dict[_Node, list[_Node]] = {}
        for one, needs in waits.items():
            for to, _ in needs:
                asked.setdefault(to, []).append(one)
        ahead = [one for one in waits if one[1] == id_]
        seen = set(ahead)
        while ahead:
            new = [one for one in asked.get(ahead.pop(), ()) if one not in seen]
            seen.update(new)
            ahead += new
        found |= {(KIND_OF[key], step) for key, step in seen}
    return found


def _keys_of(who: str, key: str, keys: tuple[str, ...]) -> list[str]:
    """Return the pieces of a beam that a need of piece `key` refers to."""
    if who == PIECE:
        return [key]
    if who == PARTNER:
        return [one for one in keys if one == PARTNER_OF.get(key)]
    return [one for one in keys if KIND_OF[one] == KIND_OF_WHO[who]]


def _in_circles(waits: Mapping[_Node, list[_Node]]) -> set[_Node]:
    """Return the steps in circles: remove steps that wait for none or that none waits for, until
    nothing changes."""
    left = dict(waits)
    shrunk = True
    while shrunk:
        needed = {to for tos in left.values() for to in tos}
        kept = {one: [to for to in tos if to in left] for one, tos in left.items() if one in needed}
        kept = {one: tos for one, tos in kept.items() if tos}
        shrunk, left = len(kept) < len(left), kept
    return set(left)


def facts_for(stages: Stages, step: Step) -> tuple[Need, ...]:
    """Return every need that a step could be given, those that it has first.

    Steps that wait for this one themselves are left out; so is a reading after a step of the
    same piece.
    """
    own = [what for what in READINGS if all(what in OF_KIND[kind] for kind in step.kinds)]
    facts = [EARLIER, *(read(what) for what in own)]
    facts += [Need(OUT_OF_SQUARE, what=edge) for what in own for edge in BESIDE.get(what, ())]
    others = [who for who in ("sides", "bottom") if step.kinds != (who,)]
    facts += [read(what, who) for who in others for what in _read_on(who)]
    facts.append(read(CEILING, BEAM))
    waiting = _waiting_for(stages, step.id)
    named = [
        (who, one.id)
        for stage in stages
        for one in stage.steps
        for who, kind in KIND_OF_WHO.items()
        if (kind, one.id) not in waiting
    ]
    facts += [done(who, id_) for who, id_ in named]
    facts += [
        Need("read after", who=who, step=id_, what=what)
        for what in own
        for who, id_ in named
        if KIND_OF_WHO[who] not in step.kinds
    ]
    new = (need for need in facts if need not in step.needs)
    return (*step.needs, *(need for need in new if why_not(stages, step, need) is None))


def _read_on(who: str) -> list[str]:
    return [what for what in READINGS if what in OF_KIND[KIND_OF_WHO[who]]]

"""Stages, their steps and what a step needs: data that is kept with the job."""

from collections.abc import Collection, Iterable, Iterator, Mapping
from typing import Any, NamedTuple

from crewdesk.errors import NotAllowed
from crewdesk.job.change import Doc
from crewdesk.job.forms import TRAITS, USUAL_TRAITS
from crewdesk.job.needs import EARLIER, KIND_OF_WHO, OUT_OF_SQUARE, TRUTHS, Waiver
from crewdesk.job.needs import Need as Need
from crewdesk.job.words import brief, checked_name
from crewdesk.job.written import read_plainly, within

KINDS = ("side", "bottom", "top", "cleats")
MOST_STAGES = 50
MOST_STEPS = 500


class Step(NamedTuple):
    """One operation on every piece of some kinds; where `only` names a trait (see
    `crewdesk.job.forms`), on those with that trait alone."""

    id: str
    name: str
    kinds: tuple[str, ...]
    needs: tuple[Need, ...] = (EARLIER,)
    only: str = ""

    def is_for(self, kind: str, traits: Collection[str] = USUAL_TRAITS) -> bool:
        """Whether a piece of that kind and with those traits goes through this step."""
        return kind in self.kinds and (not self.only or self.only in traits)

    def to_doc(self) -> Doc:
        """As JSON."""
        return {
            "id": self.id,
            "name": self.name,
            "kinds": list(self.kinds),
            "needs": [need.to_doc() for need in self.needs],
            **({"only": self.only} if self.only else {}),
        }

    @staticmethod
    def from_doc(doc: Doc) -> "Step":
        """The step that `to_doc` wrote; raises `NotAllowed` where it has no kinds we know."""
        kinds = tuple(doc["kinds"])
        if isinstance(doc["kinds"], str) or not kinds or any(kind not in KINDS for kind in kinds):
            raise NotAllowed(
                f"Step {brief(doc['name'])} names no kind of piece out of {', '.join(KINDS)}."
            )
        only = doc.get("only", "")
        if only not in ("", *TRAITS):
            raise NotAllowed(
                f"Step {brief(doc['name'])} is only for {brief(only)}; "
                f"that can be {' or '.join(TRAITS)}."
            )
        with within("needs"):
            needs = tuple(Need.from_doc(need) for need in doc["needs"])
        return Step(
            checked_name(doc["id"], "step"), checked_name(doc["name"], "step"), kinds, needs, only
        )


class Stage(NamedTuple):
    """A batch stage: a column of the run sheet."""

    id: str
    name: str
    steps: tuple[Step, ...]

    def to_doc(self) -> Doc:
        """As JSON."""
        return {"id": self.id, "name": self.name, "steps": [step.to_doc() for step in self.steps]}

    @staticmethod
    def from_doc(doc: Doc) -> "Stage":
        """The stage that `to_doc` wrote."""
        steps = []
        for number, step in enumerate(doc["steps"], 1):
            with within(f"step {number}"):
                steps.append(Step.from_doc(step))
        id_, name = checked_name(doc["id"], "stage"), checked_name(doc["name"], "stage")
        return Stage(id_, name, tuple(steps))


class OtherWork(NamedTuple):
    """A kind of work outside the stages that time is logged on: it has no steps."""

    id: str
    name: str

    @staticmethod
    def from_doc(doc: Doc) -> "OtherWork":
        """The kind of work that stands in a job's document; raises `NotAllowed`."""
        what = "kind of work"
        return OtherWork(checked_name(doc["id"], what), checked_name(doc["name"], what))


EXTRA_WORK = "extra-work"
USUAL_OTHER_WORK = (
    OtherWork("set-up", "Set-up"),
    OtherWork("travel", "Travel"),
    OtherWork("scraping", "Scraping"),
    OtherWork("waiting", "Waiting on others"),
    OtherWork(EXTRA_WORK, "Extra work"),
)


class Stages:
    """All stages of a job, in the order of work, and the kinds of work outside them."""

    def __init__(
        self,
        stages: tuple[Stage, ...],
        other: tuple[OtherWork, ...] = USUAL_OTHER_WORK,
        waived: tuple[Waiver, ...] = (),
    ) -> None:
        """Other work of a stage's id gives way to it; raises `NotAllowed`."""
        self.stages = stages
        self.waived = waived
        ids = [stage.id for stage in stages]
        self.other = tuple(one for one in other if one.id not in ids)
        self._ways: dict[tuple[str, Collection[str]], tuple[tuple[Step, ...], ...]] = {}
        self._ids: dict[frozenset[str], Mapping[str, frozenset[str]]] = {}
        self._check(ids)

    def __iter__(self) -> Iterator[Stage]:
        return iter(self.stages)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Stages) and (self.stages, self.other, self.waived) == (
            other.stages,
            other.other,
            other.waived,
        )

    def __hash__(self) -> int:
        return hash((self.stages, self.other, self.waived))

    def _check(self, ids: list[str]) -> None:
        steps = [step.id for stage in self.stages for step in stage.steps]
        if not 1 <= len(ids) <= MOST_STAGES or len(steps) > MOST_STEPS:
            raise NotAllowed(
                f"A job has from 1 to {MOST_STAGES} stages with at most {MOST_STEPS} steps in all; "
                "nothing was changed."
            )
        ids += [one.id for one in self.other]
        if len(self.other) > MOST_STAGES:
            raise NotAllowed(f"A job has at most {MOST_STAGES} kinds of other work.")
        for kind, names in (("stage", ids), ("step", steps)):
            if len(set(names)) < len(names):
                twice = next(name for name in names if names.count(name) > 1)
                raise NotAllowed(
                    f"There are two {kind}s named {twice}; each needs a name of its own."
                )

    def stage(self, id_: str) -> Stage:
        """The stage of that id; raises `NotAllowed`."""
        for stage in self.stages:
            if stage.id == id_:
                return stage
        others = f", and other work is {', '.join(o.id for o in self.other)}" if self.other else ""
        raise NotAllowed(
            f"There is no stage {id_}; the stages are "
            f"{', '.join(s.id for s in self.stages)}{others}."
        )

    @property
    def work(self) -> tuple[Stage | OtherWork, ...]:
        """All that time can be logged on: the stages, then the other kinds of work."""
        return (*self.stages, *self.other)

    def work_of(self, id_: str) -> Stage | OtherWork:
        """The stage or other kind of work of that id; raises `NotAllowed`."""
        for one in self.work:
            if one.id == id_:
                return one
        return self.stage(id_)

    def name_of(self, id_: str) -> str:
        """The name of a stage or other kind of work; of one that was dropped since, its id."""
        return next((one.name for one in self.work if one.id == id_), id_)

    def step(self, id_: str) -> Step:
        """The step of that id; raises `NotAllowed`."""
        return self.find(id_)[1]

    def find(self, id_: str) -> tuple[Stage, Step]:
        """The stage and step of a step's id; raises `NotAllowed`."""
        for stage in self.stages:
            for step in stage.steps:
                if step.id == id_:
                    return stage, step
        raise NotAllowed(f"There is no step {id_} in this job's stages.")

    def has(self, id_: str) -> bool:
        """Whether a step of that id is (still) among the stages."""
        return any(step.id == id_ for stage in self.stages for step in stage.steps)

    def steps_of(self, kind: str, traits: Collection[str] = USUAL_TRAITS) -> tuple[Step, ...]:
        """Every step of a piece of that kind and with those traits, in the order of work."""
        return tuple(step for steps in self.way_of(kind, traits) for step in steps)

    def ids_by_kind(self, traits: frozenset[str]) -> Mapping[str, frozenset[str]]:
        """By kind of piece, the ids of the steps that such pieces with those traits go through;
        found once."""
        if traits not in self._ids:
            self._ids[traits] = {
                kind: frozenset(step.id for step in self.steps_of(kind, traits)) for kind in KINDS
            }
        return self._ids[traits]

    def way_of(
        self, kind: str, traits: Collection[str] = USUAL_TRAITS
    ) -> tuple[tuple[Step, ...], ...]:
        """By stage, the steps of a piece of that kind and with those traits; found once."""
        if (kind, traits) not in self._ways:
            self._ways[kind, traits] = tuple(
                tuple(step for step in stage.steps if step.is_for(kind, traits))
                for stage in self.stages
            )
        return self._ways[kind, traits]

    def to_doc(self) -> list[Doc]:
        """As JSON."""
        return [stage.to_doc() for stage in self.stages]

    @staticmethod
    def from_doc(
        docs: Iterable[Any], other: Iterable[Any] | None = None, waived: Iterable[Any] = ()
    ) -> "Stages":
        """Return the stages that `to_doc` wrote, with a job's own kinds of other work if it
        has any, and the needs that were waived.

        A usual step gets its `TRUTHS`, which an older job was saved without. Raises `NotAllowed`.
        """
        with read_plainly(
            "Something in the job's stages", "stages are; see the format of a job file"
        ):
            read = []
            for number, doc in enumerate(docs, 1):
                with within(f"stage {number}"):
                    read.append(Stage.from_doc(doc))
            stages = tuple(read)
            with within("waived"):
                given = tuple(Waiver.from_doc(doc) for doc in waived)
            if other is None:
                return Stages(_with_truths(stages, given), waived=given)
            with within("other_work"):
                kinds = tuple(OtherWork.from_doc(doc) for doc in other)
            return Stages(_with_truths(stages, given), kinds, given)

    def with_stages(self, stages: tuple[Stage, ...]) -> "Stages":
        """Return other stages with the same other work and waivers."""
        return Stages(stages, self.other, self.waived)

    def with_stage(self, stage: Stage) -> "Stages":
        """Return these with the stage of the same id put in place of the old one."""
        return self.with_stages(tuple(stage if s.id == stage.id else s for s in self.stages))

    def with_step(self, step: Step) -> "Stages":
        """Return these with the step of the same id put in place of the old one."""
        stage = self.find(step.id)[0]
        steps = tuple(step if one.id == step.id else one for one in stage.steps)
        return self.with_stage(stage._replace(steps=steps))

    def without_step(self, id_: str) -> "Stages":
        """Return these without a step; what other steps need of it stays with them."""
        stage = self.find(id_)[0]
        steps = tuple(step for step in stage.steps if step.id != id_)
        return self.with_stage(stage._replace(steps=steps))


def _with_truths(stages: tuple[Stage, ...], waived: Iterable[Waiver]) -> tuple[Stage, ...]:
    """Give usual steps the needs that belong to them, but for those that were waived.

    One that names a step is given only where that step comes before, on the pieces that it
    names, so that no step of a job with an order of its own can end up waiting for itself.
    """
    gone = {one for waiver in waived for one in waiver.needs}
    before: dict[str, Step] = {}
    made = []
    for stage in stages:
        steps = []
        for step in stage.steps:
            needs = tuple(
                need
                for need in TRUTHS.get(step.id, ())
                if need not in step.needs
                and (step.id, need) not in gone
                and _fits(step, need, before)
            )
            steps.append(step._replace(needs=(*step.needs, *needs)) if needs else step)
            before[step.id] = step
        made.append(stage._replace(steps=tuple(steps)))
    return tuple(made)


def _fits(step: Step, need: Need, before: Mapping[str, Step]) -> bool:
    if need.sort == OUT_OF_SQUARE:
        return step.kinds == ("bottom",)
    named = before.get(need.step)
    return not need.step or (named is not None and KIND_OF_WHO[need.who] in named.kinds)

"""Stages, their steps and what a step needs: data that is kept with the job."""

from collections.abc import Collection, Iterable, Iterator
from typing import Any, NamedTuple

from crewdesk.job.change import Doc
from crewdesk.job.forms import TRAITS
from crewdesk.job.readings import NAMES, OPTIONAL
from crewdesk.job.refused import Refused
from crewdesk.job.words import brief, checked_line, checked_name
from crewdesk.job.written import read_plainly

KINDS = ("side", "bottom", "top", "cleats")
WHO = ("partner", "sides", "bottom", "top", "cleats")
READINGS = tuple(what for what in NAMES if what not in OPTIONAL)
"""The readings that a step can need."""
MOST_STAGES = 50
MOST_STEPS = 500


class Need(NamedTuple):
    """One thing that a step needs before it may be done.

    `sort` is one of
    - "earlier": every earlier step of the same piece is done or skipped,
    - "done": step `step` is done on `who` (partner, sides, bottom, cleats),
    - "reading": reading `what` of the piece is there and believable,
    - "read after": reading `what` was taken after `step` was done on `who`.
    """

    sort: str
    who: str = ""
    step: str = ""
    what: str = ""

    def to_doc(self) -> Doc:
        """As JSON, without what it does not use."""
        return {k: v for k, v in self._asdict().items() if v}

    @staticmethod
    def from_doc(doc: Doc) -> "Need":
        """The need that `to_doc` wrote; raises `Refused` where it makes no sense."""
        need = Need(
            **{
                key: checked_line(doc.get(key, ""), f"'{key}' of a need")
                for key in ("sort", "who", "step", "what")
            }
        )
        sound = {
            "earlier": True,
            "done": need.who in WHO and bool(need.step),
            "reading": need.what in READINGS,
            "read after": need.what in READINGS and need.who in WHO and bool(need.step),
        }
        if not sound.get(need.sort, False):
            raise Refused(
                f"A step's need {brief(doc)} makes no sense; see the format of a job file."
            )
        return need


class Step(NamedTuple):
    """One operation on every piece of some kinds; where `only` names a trait (see
    `crewdesk.job.forms`), on those with that trait alone."""

    id: str
    name: str
    kinds: tuple[str, ...]
    needs: tuple[Need, ...] = (Need("earlier"),)
    only: str = ""

    def is_for(self, kind: str, traits: Collection[str] = TRAITS) -> bool:
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
        """The step that `to_doc` wrote; raises `Refused` where it has no kinds we know."""
        kinds = tuple(doc["kinds"])
        if isinstance(doc["kinds"], str) or not kinds or any(kind not in KINDS for kind in kinds):
            raise Refused(
                f"Step {brief(doc['name'])} names no kind of piece out of {', '.join(KINDS)}."
            )
        only = doc.get("only", "")
        if only not in ("", *TRAITS):
            raise Refused(
                f"Step {brief(doc['name'])} is only for {brief(only)}; "
                f"that can be {' or '.join(TRAITS)}."
            )
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
        return Stage(
            checked_name(doc["id"], "stage"),
            checked_name(doc["name"], "stage"),
            tuple(Step.from_doc(step) for step in doc["steps"]),
        )


class OtherWork(NamedTuple):
    """A kind of work outside the stages that time is logged on: it has no steps."""

    id: str
    name: str

    @staticmethod
    def from_doc(doc: Doc) -> "OtherWork":
        """The kind of work that stands in a job's document; raises `Refused`."""
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
        self, stages: tuple[Stage, ...], other: tuple[OtherWork, ...] = USUAL_OTHER_WORK
    ) -> None:
        """Other work of a stage's id gives way to it; raises `Refused`."""
        self.stages = stages
        ids = [stage.id for stage in stages]
        self.other = tuple(one for one in other if one.id not in ids)
        self._ways: dict[tuple[str, Collection[str]], tuple[tuple[Step, ...], ...]] = {}
        self._check(ids)

    def __iter__(self) -> Iterator[Stage]:
        return iter(self.stages)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Stages) and (self.stages, self.other) == (
            other.stages,
            other.other,
        )

    def __hash__(self) -> int:
        return hash((self.stages, self.other))

    def _check(self, ids: list[str]) -> None:
        steps = [step.id for stage in self.stages for step in stage.steps]
        if not 1 <= len(ids) <= MOST_STAGES or len(steps) > MOST_STEPS:
            raise Refused(
                f"A job has from 1 to {MOST_STAGES} stages with at most {MOST_STEPS} steps in all; "
                "nothing was changed."
            )
        ids += [one.id for one in self.other]
        if len(self.other) > MOST_STAGES:
            raise Refused(f"A job has at most {MOST_STAGES} kinds of other work.")
        for kind, names in (("stage", ids), ("step", steps)):
            if len(set(names)) < len(names):
                twice = next(name for name in names if names.count(name) > 1)
                raise Refused(f"There are two {kind}s named {twice}; each needs a name of its own.")

    def stage(self, id_: str) -> Stage:
        """The stage of that id; raises `Refused`."""
        for stage in self.stages:
            if stage.id == id_:
                return stage
        others = f", and other work is {', '.join(o.id for o in self.other)}" if self.other else ""
        raise Refused(
            f"There is no stage {id_}; the stages are "
            f"{', '.join(s.id for s in self.stages)}{others}."
        )

    @property
    def work(self) -> tuple[Stage | OtherWork, ...]:
        """All that time can be logged on: the stages, then the other kinds of work."""
        return (*self.stages, *self.other)

    def work_of(self, id_: str) -> Stage | OtherWork:
        """The stage or other kind of work of that id; raises `Refused`."""
        for one in self.work:
            if one.id == id_:
                return one
        return self.stage(id_)

    def name_of(self, id_: str) -> str:
        """The name of a stage or other kind of work; of one that was dropped since, its id."""
        return next((one.name for one in self.work if one.id == id_), id_)

    def step(self, id_: str) -> Step:
        """The step of that id; raises `Refused`."""
        return self.find(id_)[1]

    def find(self, id_: str) -> tuple[Stage, Step]:
        """The stage and step of a step's id; raises `Refused`."""
        for stage in self.stages:
            for step in stage.steps:
                if step.id == id_:
                    return stage, step
        raise Refused(f"There is no step {id_} in this job's stages.")

    def has(self, id_: str) -> bool:
        """Whether a step of that id is (still) among the stages."""
        return any(step.id == id_ for stage in self.stages for step in stage.steps)

    def steps_of(self, kind: str, traits: Collection[str] = TRAITS) -> tuple[Step, ...]:
        """Every step of a piece of that kind and with those traits, in the order of work."""
        return tuple(step for steps in self.way_of(kind, traits) for step in steps)

    def way_of(self, kind: str, traits: Collection[str] = TRAITS) -> tuple[tuple[Step, ...], ...]:
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
    def from_doc(docs: Iterable[Any], other: Iterable[Any] | None = None) -> "Stages":
        """The stages that `to_doc` wrote, with a job's own kinds of other work if it has any.

        Raises `Refused`.
        """
        with read_plainly(
            "Something in the job's stages", "stages are; see the format of a job file"
        ):
            stages = tuple(Stage.from_doc(doc) for doc in docs)
            if other is None:
                return Stages(stages)
            return Stages(stages, tuple(OtherWork.from_doc(doc) for doc in other))

    def with_stage(self, stage: Stage) -> "Stages":
        """With the stage of the same id put in place of the old one."""
        stages = tuple(stage if old.id == stage.id else old for old in self.stages)
        return Stages(stages, self.other)

    def without_step(self, id_: str) -> "Stages":
        """Without a step, and without what other steps needed of it."""
        self.find(id_)
        stages = tuple(
            stage._replace(
                steps=tuple(
                    step._replace(needs=tuple(n for n in step.needs if n.step != id_))
                    for step in stage.steps
                    if step.id != id_
                )
            )
            for stage in self.stages
        )
        return Stages(stages, self.other)

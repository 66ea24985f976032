"""Stages, their steps and the steps' needs, saved with the job.

A need stays with its step. If its own step was dropped, the gate says so (see
`crewdesk.job.steps.gates`). A need ends only when you waive it with a reason, kept in a `Waiver`.
"""

from collections.abc import Collection, Iterable, Iterator, Mapping
from datetime import datetime
from typing import Any

from crewdesk.errors import NotAllowed
from crewdesk.job.beams.forms import TRAITS, USUAL_TRAITS
from crewdesk.job.beams.readings import BESIDE, NAMES, OPTIONAL
from crewdesk.job.change import Doc
from crewdesk.job.parsing import read_plainly
from crewdesk.job.row import LINE, NAME, TIME, Kind, Row, as_is, built_as, field, many, one_of
from crewdesk.job.text_limits import brief, checked_line, checked_name

PIECE, PARTNER, BEAM = "piece", "partner", "beam"
KIND_OF_WHO: Mapping[str, str] = {
    PARTNER: "side",
    "sides": "side",
    "bottom": "bottom",
    "top": "top",
    "cleats": "cleats",
}
"""The pieces that a need refers to; `PIECE` is the step's own piece."""
WHO = (PIECE, *KIND_OF_WHO)
READINGS = tuple(what for what in NAMES if what not in OPTIONAL)
"""The readings of a piece that a step can need."""
CEILING = "ceiling"
OF_BEAM = (CEILING,)
"""The readings over a whole beam that a step can need."""
EDGES = BESIDE["opening"]
"""The readings along a bottom's other edge, needed if the walls are out of square."""
OUT_OF_SQUARE = "out of square"
"""The sort of need for edge B's reading, needed if the walls are out of square."""


class Need(Row, noun="need"):
    """One thing that a step needs before it may be done.

    `sort` is one of
    - "earlier": every earlier step of the same piece is done or skipped,
    - "done": step `step` is done on `who`, one of `WHO`,
    - "reading": reading `what` is there and believable: the piece's own or, with `who`,
      that of other pieces; with `who` "beam" a reading over the whole beam,
    - "read after": reading `what` was taken after `step` was done on `who`,
    - "out of square": reading `what` (edge B) is there, if the walls are out of square.
    """

    sort: str = field(LINE, "'sort' of a need")
    who: str = field(LINE, "'who' of a need", default="")
    step: str = field(LINE, "'step' of a need", default="")
    what: str = field(LINE, "'what' of a need", default="")

    def check(self) -> None:
        """Raise `NotAllowed` if a need of that sort has no such fields."""
        of_whom = self.who in ("", *KIND_OF_WHO)
        sound = {
            "earlier": not (self.step or self.what or self.who),
            "done": self.who in WHO and bool(self.step),
            "reading": not self.step
            and self.what in (OF_BEAM if self.who == BEAM else READINGS)
            and (of_whom or self.who == BEAM),
            "read after": self.what in READINGS and self.who in WHO and bool(self.step),
            OUT_OF_SQUARE: self.what in EDGES,
        }
        if not sound.get(self.sort, False):
            raise NotAllowed(
                f"A step's need {brief(self.to_doc())} makes no sense; see the format of a job "
                "file."
            )


EARLIER = Need("earlier")


def done(who: str, step: str) -> Need:
    """Return the need that a step is done on `who`, one of `WHO`."""
    return Need("done", who=who, step=step)


def read(what: str, who: str = "") -> Need:
    """Return the need of a reading of the piece itself, of `who`, or of the whole beam."""
    return Need("reading", who=who, what=what)


_BOTH_SIDES_READ = tuple(read(what, "sides") for what in ("run", "end1", "end2"))

TRUTHS: Mapping[str, tuple[Need, ...]] = {
    "scribe": (read(CEILING, BEAM),),
    "fix-cleats": (done("sides", "cut-side"), done("sides", "cut-scribe"), *_BOTH_SIDES_READ),
    "fix-top": _BOTH_SIDES_READ,
    "cut-bottom": (Need(OUT_OF_SQUARE, what="edge_b"),),
    "nail-bottom": (done("sides", "nail-side"), done("cleats", "fix-cleats")),
}
"""Needs of usual steps by id, also in a job whose stages were saved before the usual stages had
them (see `Stages.from_doc`)."""


def _lost(doc: Any, _what: str) -> tuple[str, Need]:
    return checked_name(doc["of"], "step"), Need.from_doc(doc)


LOST = Kind(_lost, lambda one: {"of": one[0], **one[1].to_doc()}, "need and `of`, its step")


def reason_given(text: object, what: str = "reason") -> str:
    """Return the reason for a waiver, one line; raises `NotAllowed` if there is none."""
    if not (reason := checked_line(text, what)):
        raise NotAllowed("Give the reason in a few words.")
    return reason


class Waiver(Row, noun="change of the steps"):
    """A change of the stages that opened steps, and the `reason` given for it.

    `what` says the change in words; each of `needs` is the id of a step and the need that
    it lost. A step that no longer comes before another is lost as a need of sort "done" on
    the piece itself.
    """

    what: str = field(LINE, "change of the steps")
    reason: str = field(Kind(reason_given, as_is, "text"), "reason")
    when: datetime = field(TIME)
    needs: tuple[tuple[str, Need], ...] = field(many(LOST))


KINDS = ("side", "bottom", "top", "cleats")
MOST_STAGES = 50
MOST_STEPS = 500


def _kinds(value: Any, what: str) -> tuple[str, ...]:
    kinds = tuple(value)
    if isinstance(value, str) or not kinds or any(kind not in KINDS for kind in kinds):
        raise NotAllowed(f"The {what} must be out of {', '.join(KINDS)}, not {brief(value)}.")
    return kinds


class Step(Row, noun="step"):
    """One operation on every piece of some kinds; where `only` names a trait (see
    `crewdesk.job.beams.forms`), on those with that trait alone."""

    id: str = field(NAME)
    name: str = field(NAME)
    kinds: tuple[str, ...] = field(Kind(_kinds, list, "list of kinds of piece"), "kinds of a step")
    needs: tuple[Need, ...] = field(many(Need, "need"), default=(EARLIER,), always=True)
    only: str = field(one_of(("", *TRAITS)), "'only' of a step", default="")

    def is_for(self, kind: str, traits: Collection[str] = USUAL_TRAITS) -> bool:
        """Return whether a piece of that kind and with those traits goes through this step."""
        return kind in self.kinds and (not self.only or self.only in traits)


class Stage(Row, noun="stage"):
    """A batch stage: a column of the run sheet."""

    id: str = field(NAME)
    name: str = field(NAME)
    steps: tuple[Step, ...] = field(many(Step, "step"))


class OtherWork(Row, noun="kind of work"):
    """A kind of work outside the stages that time is logged on: it has no steps."""

    id: str = field(NAME)
    name: str = field(NAME)


EXTRA_WORK = "extra-work"
USUAL_OTHER_WORK = (
    OtherWork("set-up", "Set-up"),
    OtherWork("travel", "Travel"),
    OtherWork("scraping", "Scraping"),
    OtherWork("waiting", "Waiting on others"),
    OtherWork(EXTRA_WORK, "Extra work"),
)


_STAGES = many(Stage, "stage")


class Stages:
    """All stages of a job, in the order of work, and the kinds of work outside them."""

    def __init__(
        self,
        stages: tuple[Stage, ...],
        other: tuple[OtherWork, ...] = USUAL_OTHER_WORK,
        waived: tuple[Waiver, ...] = (),
    ) -> None:
        """Set the stages; a stage replaces other work of the same id. Raises `NotAllowed`."""
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
                f"A job must have from 1 to {MOST_STAGES} stages with up to "
                f"{MOST_STEPS} steps in all. Nothing was changed."
            )
        ids += [one.id for one in self.other]
        if len(self.other) > MOST_STAGES:
            raise NotAllowed(f"A job can have up to {MOST_STAGES} kinds of other work.")
        for kind, names in (("stage", ids), ("step", steps)):
            if len(set(names)) < len(names):
                twice = next(name for name in names if names.count(name) > 1)
                raise NotAllowed(f"Two {kind}s have the name {twice}. Rename one.")

    def stage(self, id_: str) -> Stage:
        """Return the stage of that id; raises `NotAllowed`."""
        for stage in self.stages:
            if stage.id == id_:
                return stage
        others = f", and other work is {', '.join(o.id for o in self.other)}" if self.other else ""
        raise NotAllowed(
            f"There is no stage {id_}. The stages are "
            f"{', '.join(s.id for s in self.stages)}{others}."
        )

    @property
    def work(self) -> tuple[Stage | OtherWork, ...]:
        """Everything that time can be logged on: the stages, then other work."""
        return (*self.stages, *self.other)

    def work_of(self, id_: str) -> Stage | OtherWork:
        """Return the stage or other work of that id; raises `NotAllowed`."""
        for one in self.work:
            if one.id == id_:
                return one
        return self.stage(id_)

    def name_of(self, id_: str) -> str:
        """Return the name of a stage or other work; the id if it was dropped."""
        return next((one.name for one in self.work if one.id == id_), id_)

    def step(self, id_: str) -> Step:
        """Return the step of that id; raises `NotAllowed`."""
        return self.find(id_)[1]

    def find(self, id_: str) -> tuple[Stage, Step]:
        """Return the stage and step of a step's id; raises `NotAllowed`."""
        for stage in self.stages:
            for step in stage.steps:
                if step.id == id_:
                    return stage, step
        raise NotAllowed(f"There is no step {id_} in this job's stages.")

    def has(self, id_: str) -> bool:
        """Return whether a step of that id is among the stages."""
        return any(step.id == id_ for stage in self.stages for step in stage.steps)

    def steps_of(self, kind: str, traits: Collection[str] = USUAL_TRAITS) -> tuple[Step, ...]:
        """Return every step of a piece of that kind and with those traits, in order of work."""
        return tuple(step for steps in self.way_of(kind, traits) for step in steps)

    def ids_by_kind(self, traits: frozenset[str]) -> Mapping[str, frozenset[str]]:
        """Return the ids of the steps of each kind of piece with those traits; cached."""
        if traits not in self._ids:
            self._ids[traits] = {
                kind: frozenset(step.id for step in self.steps_of(kind, traits)) for kind in KINDS
            }
        return self._ids[traits]

    def way_of(
        self, kind: str, traits: Collection[str] = USUAL_TRAITS
    ) -> tuple[tuple[Step, ...], ...]:
        """Return a piece's steps by stage, for that kind and those traits; cached."""
        if (kind, traits) not in self._ways:
            self._ways[kind, traits] = tuple(
                tuple(step for step in stage.steps if step.is_for(kind, traits))
                for stage in self.stages
            )
        return self._ways[kind, traits]

    def to_doc(self) -> list[Doc]:
        """Return the stages as JSON."""
        docs: list[Doc] = _STAGES.write(self.stages)
        return docs

    @staticmethod
    def from_doc(
        docs: Iterable[Any], other: Iterable[Any] | None = None, waived: Iterable[Any] = ()
    ) -> "Stages":
        """Return the stages that `to_doc` wrote, with a job's own kinds of other work if it
        has any, and the needs that were waived.

        A usual step gets its `TRUTHS`, which an older job was saved without. Raises `NotAllowed`.
        """
        with read_plainly("Something in the job's stages", built_as("stages")):
            stages = _STAGES.read(docs, "stages")
            given = many(Waiver, "waived").read(waived, "changes of the steps")
            kinds = () if other is None else many(OtherWork, "other_work").read(other, "other work")
        made = _with_truths(stages, given)
        return Stages(made, waived=given) if other is None else Stages(made, kinds, given)

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
    """Return the stages with the `TRUTHS` of usual steps, except waived ones.

    One that names a step is added only if that step comes before on its pieces, so that no step of
    a custom order waits for itself.
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

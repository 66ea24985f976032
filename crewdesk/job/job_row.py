"""The job's own row: values of the whole job."""

from collections.abc import Mapping
from datetime import datetime
from fractions import Fraction
from functools import cached_property
from typing import TYPE_CHECKING, Any

from crewdesk.job.beams.beam import SECTION, Habits
from crewdesk.job.change import Doc
from crewdesk.job.parsing import fraction, read_amount, read_plainly
from crewdesk.job.row import (
    LINE,
    NAME,
    NOTE,
    SHORT,
    TIME,
    Kind,
    TableRow,
    built_as,
    field,
    many,
    one_of,
)
from crewdesk.job.steps.stages import Stages
from crewdesk.length import STEPS, Step
from crewdesk.trade.cuts.cleat import CLEAT
from crewdesk.trade.cuts.section import Section

if TYPE_CHECKING:
    from decimal import Decimal

    from crewdesk.job.lumber.cutting_rules import CuttingRules
    from crewdesk.job.lumber.takeoff import KeptPlan
    from crewdesk.job.time.entry import Planned

BEGUN = "begun"
"""The field with the job's `begun` hash, if its history doesn't give it."""
PUT_AWAY = "put_away"
"""The field with the time when the job was put away."""
BILLINGS = ("", "price", "rates")
SHARES = ("length", "evenly")
KEPT = ("hour", "planned", "nails", "cutting", "plan")
"""Fields that are parsed when first used, so that a cut list prints sooner."""


def _step(value: Any, what: str) -> Step:
    return STEPS[one_of(STEPS).read(value, what)]


STEP = Kind(_step, lambda step: step.name, ", ".join(f'"{name}"' for name in STEPS))


class Job(TableRow, noun="job"):
    """Values of the whole job. `step` is the step of shown lengths.

    `share` is how a batch's time is shared among its pieces; `billing` says whether the work is
    billed by the accepted price or by rates, "" for the price if there is one. `put_away` is since
    when it is out of the list of jobs, or None if it is in it. `kept` holds what is read later, see
    `KEPT`.
    """

    name: str = field(NAME)
    section: Section = field(SECTION)
    stages: Stages
    step: Step = field(STEP, "step that lengths are shown to")
    customer: str = field(LINE, "customer", default="")
    site: str = field(LINE, "site", default="")
    notes: str = field(NOTE, "note", default="")
    zone: str = field(SHORT, "time zone", default="")
    share: str = field(one_of(SHARES), "way to share a batch's time", default=SHARES[0])
    billing: str = field(one_of(BILLINGS), "way to bill a job", default="")
    put_away: datetime | None = field(TIME, "time a job was put away", default=None)
    kept: Mapping[str, Any] = {}

    @cached_property
    def hour(self) -> "Decimal | None":
        """This job's hourly rate, if it isn't the shop's."""
        hour = self.kept.get("hour")
        return read_amount(hour, "hourly rate") if hour else None

    @cached_property
    def planned(self) -> "tuple[Planned, ...]":
        """The planned days."""
        from crewdesk.job.time.entry import Planned

        days: tuple[Planned, ...] = many(Planned, "day").read(self.kept.get("planned", ()), "plan")
        return days

    @cached_property
    def nails(self) -> Mapping[str, Fraction]:
        """The chosen nail lengths, in inches, by what they hold."""
        from crewdesk.job.cuts.nails import nails_from_doc

        return nails_from_doc(self.kept.get("nails", {}))

    @cached_property
    def cutting(self) -> "CuttingRules":
        """The rules for cutting the job's boards."""
        from crewdesk.job.lumber.cutting_rules import CuttingRules

        return CuttingRules.from_doc(self.kept.get("cutting", {}))

    @cached_property
    def habits(self) -> Habits:
        """The job's settings that affect each beam's marks."""
        rules = self.kept.get("cutting")
        cleat = rules.get("cleat") if isinstance(rules, dict) else None
        return Habits(CLEAT if cleat is None else fraction(cleat, "cleat"), self.step)

    @cached_property
    def plan(self) -> "KeptPlan | None":
        """The kept plan without its boards."""
        from crewdesk.job.lumber.takeoff import KeptPlan

        return KeptPlan.from_doc(self.kept["plan"]) if "plan" in self.kept else None

    @classmethod
    def called(cls, _row: str) -> str:
        """Return the row's name in a sentence."""
        return "The job itself"

    @classmethod
    def given(cls, doc: Doc) -> Mapping[str, Any]:
        """Return the job's stages, and the fields parsed later; raises `NotAllowed`."""
        return {
            "stages": Stages.from_doc(doc["stages"], doc.get("other_work"), doc.get("waived", ())),
            "kept": {name: doc[name] for name in KEPT if name in doc},
        }

    @staticmethod
    def checked(row: str, doc: Doc) -> "Job":
        """Return the job after parsing all of its kept fields, as required before it is saved."""
        job = Job.from_doc(row, doc)
        with read_plainly(Job.called(row), built_as("job")):
            for name in KEPT:
                getattr(job, name)
        return job

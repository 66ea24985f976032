"""The finished jobs, and the rates of each stage that rest on them."""

from collections.abc import Iterable

from textual.widget import Widget
from textual.widgets import Static

from crewdesk.job.books.pricing import stage_rates
from crewdesk.job.steps.usual_stages import USUAL_STAGES
from crewdesk.paper.plain import plain
from crewdesk.screens.parts.lines import Row
from crewdesk.screens.parts.list_page import LinesPage
from crewdesk.screens.parts.program import ChangedRows
from crewdesk.sentence import many
from crewdesk.store.books import past_jobs
from crewdesk.trade.books.durations import MINUTE, short
from crewdesk.trade.books.stage_rates import PastJob, StageRate

_HOW = {
    "default": "a default, no past job has time on it",
    "scaled": "the default, scaled to {jobs}",
    "fitted": "out of {jobs}",
}


class PastJobsPage(LinesPage):
    """A line for each finished job, then one for each stage's rate."""

    AREA = "past-jobs"
    WHERE = "Business · past jobs"
    OF_SHOP = True
    DEFAULT_CSS = "PastJobsPage #here { height: 3; }"

    def above(self) -> Iterable[Widget]:
        heads = f" {'Finished jobs':<34}{'beams':>7}{'feet':>9}{'hours':>10}{'min/ft':>9}"
        yield Static(heads, id="heads", markup=False)

    def record_changed(self, rows: ChangedRows) -> None:
        """Read the jobs as they are."""
        app = self.program
        self._past = past_jobs(app.desk, "", app.now())
        self._stages = app.record.stages if app.job else USUAL_STAGES
        self._rates = stage_rates(self._stages, self._past)
        self.show()

    def rows(self) -> list[Row]:
        rows = [_past_row(f"job {n}", one) for n, one in enumerate(self._past)]
        if not rows:
            rows = [Row((" None: a job counts once every step of it is done.", "muted"))]
        heads = f" {'What a stage should take':<34}{'min/ft':>8}{'min/beam':>10}{'spread':>9}"
        rows += [Row(), Row((heads, "head"))]
        return rows + [self._rate_row(one) for one in self._rates]

    def _rate_row(self, one: StageRate) -> Row:
        name = plain(self._stages.name_of(one.stage))
        told = (
            f" {name:<34.34}{float(one.per_foot):>8.2f}{float(one.per_beam):>10.1f}"
            f"{float(one.spread * 100):>7.0f} %"
        )
        return Row((told, "text" if one.jobs else "muted"), key=f"rate {one.stage}")

    def about(self, key: str) -> str:
        sort, _, which = key.partition(" ")
        if sort == "job":
            one = self._past[int(which)]
            parts = (
                f"{plain(self._stages.name_of(stage))} {short(seconds // MINUTE * MINUTE)}"
                for stage, seconds in one.seconds.items()
            )
            return f"{plain(one.name)}\n{'   '.join(parts)}"
        found = next((one for one in self._rates if one.stage == which), None)
        if found is None:
            return ""
        jobs = f"{many(found.jobs, 'past job')}"
        how = _HOW[found.how].format(jobs=jobs)
        return (
            f"{plain(self._stages.name_of(which))}: {how}.\n"
            "The spread makes the low and the high of an estimate."
        )


def _past_row(key: str, one: PastJob) -> Row:
    seconds = sum(one.seconds.values())
    feet = one.load.feet
    told = (
        f"{float(one.load.beams):>7.4g}{float(feet):>9.1f}{short(seconds // MINUTE * MINUTE):>10}"
        f"{float(seconds / MINUTE / feet) if feet else 0:>9.1f}"
    )
    return Row((f" {plain(one.name):<34.34}", "strong"), (told, "text"), key=key)

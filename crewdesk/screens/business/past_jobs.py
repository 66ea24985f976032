"""The finished jobs, and the stages' rates based on them."""

from fractions import Fraction

from crewdesk.job.books.pricing import stage_rates
from crewdesk.job.steps.usual_stages import USUAL_STAGES
from crewdesk.paper.plain import plain
from crewdesk.screens.parts.lines import Row
from crewdesk.screens.parts.list_page import LinesPage, fit
from crewdesk.screens.parts.program import ChangedRows
from crewdesk.screens.parts.stick import ruled, span_stick, stick
from crewdesk.sentence import many
from crewdesk.store.books import past_jobs
from crewdesk.trade.books.durations import MINUTE, short
from crewdesk.trade.books.stage_rates import PastJob, StageRate, per_foot_span

_NAME = 20
"""The columns of a job's or a stage's name."""
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
    DEFAULT_CSS = "PastJobsPage #here { height: 2; }"

    def record_changed(self, rows: ChangedRows) -> None:
        """Read the jobs as they are."""
        app = self.program
        self._past = past_jobs(app.desk, "", app.now())
        self._stages = app.record.stages if app.job else USUAL_STAGES
        self._rates = stage_rates(self._stages, self._past)
        self.show()

    def rows(self) -> list[Row]:
        width = self.size.width - 1
        heads = f" {'':<{_NAME}}{'beams':>7}{'feet':>9}{'hours':>10}{'min/ft':>9}"
        rows = [Row(*ruled("Finished jobs", width))]
        if self._past:
            rows.append(Row((heads, "muted")))
            slowest = max((_per_foot(one) for one in self._past), default=Fraction(0))
            rows += [_past_row(f"job {n}", one, slowest, width) for n, one in enumerate(self._past)]
        else:
            rows.append(Row((" None: a job counts once every step of it is done.", "muted")))
        spans = {one.stage: per_foot_span(one, self._past) for one in self._rates}
        most = max((high for _, _, high in spans.values()), default=Fraction(1))
        room = max(width - _NAME - 30, 8)
        heads = f" {'':<{_NAME}}{'min/ft':>8}{'min/beam':>10}{'spread':>8}"
        scale = f"{float(most):.1f} min/ft"
        rows += [
            Row(),
            Row(*ruled("What a stage should take", width)),
            Row((f"{heads}  {'0'.ljust(room - len(scale) - 1)} {scale}", "muted")),
        ]
        return rows + [self._rate_row(one, spans[one.stage], most, room) for one in self._rates]

    def _rate_row(
        self, one: StageRate, span: tuple[Fraction, Fraction, Fraction], most: Fraction, room: int
    ) -> Row:
        name = fit(plain(self._stages.name_of(one.stage)), _NAME)
        ink = "text" if one.jobs else "muted"
        text = f"{float(one.per_foot):>8.2f}{float(one.per_beam):>10.1f}"
        spread = f"{float(one.spread * 100):.0f}%"
        return Row(
            (f" {name}", "text"),
            (f"{text}{spread:>8}  ", ink),
            *span_stick(*span, most, room),
            key=f"rate {one.stage}",
        )

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
            "A stick goes from the least over jobs to the most; its notch is the likely."
        )


def _per_foot(one: PastJob) -> Fraction:
    """Return all minutes of a job per foot."""
    feet = one.load.feet
    return Fraction(sum(one.seconds.values()), MINUTE) / feet if feet else Fraction(0)


def _past_row(key: str, one: PastJob, slowest: Fraction, width: int) -> Row:
    seconds = sum(one.seconds.values())
    text = (
        f"{float(one.load.beams):>7.4g}{float(one.load.feet):>9.1f}"
        f"{short(seconds // MINUTE * MINUTE):>10}{float(_per_foot(one)):>9.1f}  "
    )
    drawn = stick(_per_foot(one), None, slowest, max(width - _NAME - 39, 2), ink="text")
    return Row((f" {fit(plain(one.name), _NAME)}", "strong"), (text, "text"), *drawn, key=key)

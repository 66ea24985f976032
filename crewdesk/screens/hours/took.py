"""Estimate vs. actual: by stage, by beam, and the cost of fix-ups."""

from collections.abc import Iterable
from datetime import timedelta
from fractions import Fraction

from rich.text import Text
from textual.widget import Widget
from textual.widgets import Static

from crewdesk.job.books.actuals import JobActuals, job_actuals
from crewdesk.length import Step
from crewdesk.paper.plain import plain
from crewdesk.paper.text.hours import (
    actuals_sheet,
    causes_text,
    fix_ups_text,
    minutes_text,
    per_foot_text,
    reveal_lines,
)
from crewdesk.screens.parts.lines import Lines, Row
from crewdesk.screens.parts.list_page import LinesPage, fit
from crewdesk.screens.parts.paper import ask_save
from crewdesk.screens.parts.program import ChangedRows
from crewdesk.screens.parts.stick import Part, ruled, span_stick, stick
from crewdesk.sentence import many
from crewdesk.trade.books.actuals import StageTook
from crewdesk.trade.books.durations import short, to_the_minute

_NAME, _FIGURES = 13, 37
_BEAM = 16
_SPREAD = 24
"""The columns of figures beside a stage's spread over jobs."""


class TookPage(LinesPage):
    """Each stage as a stick against its estimate, the causes of fix-ups, the beams that ran over
    and why, and the spread over finished jobs."""

    WHERE = "{job} \u00b7 estimate vs. actual"
    AREA = "what-it-took"
    DEFAULT_CSS = """
    TookPage #against { height: 2; padding: 0 1; background: $surface; text-wrap: nowrap;
                        text-overflow: ellipsis; }
    TookPage #heads { color: $muted; text-style: none; }
    """

    def above(self) -> Iterable[Widget]:
        yield Static(id="against", markup=False)
        yield Static(id="heads", markup=False)

    def record_changed(self, rows: ChangedRows) -> None:
        """Compute it as of now."""
        books = self.program.job_books()
        self._took = job_actuals(books.record, books.books.shop, books.past, books.now)
        self.show()

    def rows(self) -> list[Row]:
        took, width = self._took, self.size.width - 1
        self.query_one("#against", Static).update(self._whole(took, self.size.width - 2))
        room = max(width - _NAME - _FIGURES, 0)
        heads = f" {'':<{_NAME}}{'':<{room}}{'took':>10}{'plan':>9}{'min/ft':>8}"
        heads += f"{'all jobs':>9}" if took.past else ""
        self.query_one("#heads", Static).update(Text(heads, no_wrap=True))
        most = max((max(one.minutes, one.estimated or 0) for one in took.stages), default=0)
        rows = [self._stage_row(one, Fraction(most), room) for one in took.stages]
        return [
            *rows,
            *_fix_ups(took, self.program.record.job.step, width),
            *_beams(took, width),
            *self._spread(took, width),
        ]

    def _whole(self, took: JobActuals, width: int) -> Text:
        """Return the job's time against its estimate as one stick, and the basis of comparison."""
        plan = took.estimated
        line = f"{minutes_text(took.minutes)} "
        after = f" of {minutes_text(plan)}" if plan else ""
        room = max(width - len(line) - len(after) - 12, 0)
        text = Text("Whole job  ", no_wrap=True, overflow="ellipsis")
        lines = self.query_one(Lines)
        parts: list[Part] = [(line, "strong")]
        if took.minutes or plan:
            parts += stick(took.minutes, plan, max(took.minutes, plan or 0), min(room, 60))
        parts.append((after, "strong"))
        against = "the accepted estimate" if took.accepted else "the plan by the rates"
        parts.append((f"\nNotch: {against}. !: past its high.", "muted"))
        for part, ink in parts:
            text.append(part, lines.style_of(f"lines--{ink}"))
        return text

    def _stage_row(self, one: StageTook, most: Fraction, room: int) -> Row:
        name = plain(self.program.record.stages.name_of(one.stage))
        return Row(
            (f" {fit(name, _NAME - 1)} ", "text"),
            *(stick(one.minutes, one.estimated, most, room) if most else [(" " * room, "text")]),
            ("  !" if one.beyond else "   ", "over"),
            (f"{minutes_text(one.minutes):>7}", "over" if one.beyond else "strong"),
            (f"{minutes_text(one.estimated):>9}", "text"),
            (f"{_short_foot(one.per_foot):>8}", "text"),
            (f"{_short_foot(one.all_per_foot):>7}", "muted"),
            key=one.stage,
        )

    def _spread(self, took: JobActuals, width: int) -> Iterable[Row]:
        """Return by stage the minutes per foot of finished jobs, lowest to highest, and this
        job's."""
        name_of = self.program.record.stages.name_of
        timed = [one for one in took.stages if one.highest is not None]
        jobs = many(took.past, "finished job")
        if not timed:
            yield Row(*ruled("Over finished jobs", width))
            yield Row((" None has time on these stages yet.", "muted"), key="spread")
            return
        yield Row(*ruled(f"Minutes per foot over {jobs}", width))
        most = max(max(one.highest or 0, one.per_foot or 0) for one in timed)
        room = max(width - _NAME - _SPREAD, 0)
        for one in timed:
            low, likely, high = one.lowest or 0, one.all_per_foot or 0, one.highest or 0
            text = f"{_short_foot(one.lowest)} to {_short_foot(one.highest)}"
            yield Row(
                (f" {fit(plain(name_of(one.stage)), _NAME - 1)} ", "text"),
                *span_stick(low, likely, high, most, room),
                (f"{text:>13}", "text"),
                (f"  here {_short_foot(one.per_foot) or 'none':>4}", "strong"),
                key=f"spread {one.stage}",
            )

    def about(self, key: str) -> str:
        one = next((one for one in self._took.stages if one.stage == key), None)
        if one is None:
            text = ""
        else:
            text = self.program.record.stages.name_of(one.stage)
            if one.beyond:
                text += ": more than the high of its estimate"
            if one.per_foot is not None:
                text += f"\n{per_foot_text(one.per_foot)} a foot here"
            if one.jobs:
                jobs = f"{many(one.jobs, 'job')}"
                text += f", {per_foot_text(one.all_per_foot)} over {jobs} of before"
        return plain_lines(text)

    def action_save(self) -> None:
        app = self.program
        if app.job is None:
            return
        id_ = app.job.id
        lines = actuals_sheet(id_, app.record, self._took).lines

        def made() -> bytes:
            return ("\n".join(lines) + "\n").encode("utf-8")

        ask_save(app, "Save estimate vs. actual", f"took-{id_}.txt", {".txt": made})


def plain_lines(text: str) -> str:
    """Return the lines of a text, made plain."""
    return "\n".join(plain(line) for line in text.splitlines())


def _fix_ups(took: JobActuals, step: Step, width: int) -> Iterable[Row]:
    """Return the time of fix-ups by cause, as sticks; then the reveals."""
    yield Row(*ruled("Fix-ups", width))
    yield Row((f" {fix_ups_text(took)}", "strong"), key="fix-ups")
    most = max((seconds for _, seconds in took.causes), default=0)
    name = min(max((len(plain(cause)) for cause, _ in took.causes), default=0), 34, width - 22)
    for cause, seconds in took.causes:
        shown = fit(plain(cause), max(name, _NAME))
        yield Row(
            (f"   {shown} ", "text"),
            *stick(seconds, None, most, max(width - len(shown) - 15, 0), ink="over"),
            (f"{to_the_minute(timedelta(seconds=seconds)):>9}", "strong"),
            key=f"cause {cause}",
        )
    for place, line in enumerate(reveal_lines(took, step)):
        yield Row((f" {line}", "text"), key=f"reveals {place}")


def _beams(took: JobActuals, width: int) -> Iterable[Row]:
    """Return the beams that ran over, each a stick past its plan, and the time that belongs to no
    beam."""
    yield Row(*ruled("Beams that ran over", width))
    most = max((beam.minutes for beam in took.beams), default=Fraction(0))
    for beam in took.beams:
        causes = causes_text(beam)
        yield Row(
            (f" {fit(plain(beam.name), _BEAM)} ", "text"),
            *stick(beam.minutes, beam.likely, most, max(width - _BEAM - 42, 8)),
            (f" {minutes_text(beam.over):>8} over  ", "over"),
            (causes, "muted"),
            key=f"beam {beam.name}",
        )
    if not took.beams:
        yield Row((" No beam took longer than it should.", "text"), key="no beam")
    if took.untold:
        text = f" {short(took.untold // 60 * 60)} was logged without pieces: in no beam's time."
        yield Row((text, "muted"), key="untold")


def _short_foot(minutes: Fraction | None) -> str:
    return "" if minutes is None else f"{float(minutes):.1f}"

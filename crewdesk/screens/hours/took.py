"""What the work of a job really took: by stage, by beam, and what fix-ups cost."""

from collections.abc import Iterable
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
from crewdesk.screens.parts.lines import Row
from crewdesk.screens.parts.list_page import LinesPage
from crewdesk.screens.parts.paper import ask_save
from crewdesk.screens.parts.program import ChangedRows
from crewdesk.screens.parts.stick import bar
from crewdesk.sentence import many
from crewdesk.trade.books.actuals import StageTook
from crewdesk.trade.books.durations import short

_SIGNS = "━ spent   ┄ left of what it should take   ╫ over it"
_NAME, _FIGURES = 12, 38


class TookPage(LinesPage):
    """A bar for each stage, the beams that ran over and why, the price of fix-ups."""

    WHERE = "{job} · what it took"
    AREA = "what-it-took"
    DEFAULT_CSS = """
    TookPage #against { height: auto; padding: 0 1; background: $surface; }
    """

    def above(self) -> Iterable[Widget]:
        yield Static(id="against", markup=False)
        yield Static(id="heads", markup=False)

    def record_changed(self, rows: ChangedRows) -> None:
        """Reckon it as of now."""
        books = self.program.job_books()
        self._took = job_actuals(books.record, books.books.shop, books.past, books.now)
        self.show()

    def rows(self) -> list[Row]:
        took, width = self._took, self.size.width - 1
        against = "the accepted estimate" if took.accepted else "what it should take by the rates"
        jobs = f"{many(took.past, 'finished job')}"
        text = Text(f"Time against {against}; minutes per foot against {jobs}.\n")
        text.append(_SIGNS, style="bold")
        self.query_one("#against", Static).update(text)
        room = max(width - _NAME - _FIGURES - 2, 0)
        heads = f" {'':<{_NAME}}{'':<{room}} {'took':>8}{'of':>8}{'min/ft':>8}{'all jobs':>9}"
        self.query_one("#heads", Static).update(Text(heads, no_wrap=True))
        most = max((max(one.minutes, one.estimated or 0) for one in took.stages), default=0)
        rows = [self._stage_row(one, Fraction(most), room) for one in took.stages]
        return [*rows, *_below(took, self.program.record.job.step)]

    def _stage_row(self, one: StageTook, most: Fraction, room: int) -> Row:
        name = plain(self.program.record.stages.name_of(one.stage))
        likely = one.minutes if one.estimated is None else one.estimated
        within = min(one.minutes, likely)
        parts = (
            (within, "━"),
            (one.minutes - within, "╫"),
            (max(likely - one.minutes, Fraction(0)), "┄"),
        )
        return Row(
            (f" {name:<{_NAME}.{_NAME}}", "text"),
            (f"{bar(parts, most, room):<{room}} ", "running"),
            (f"{minutes_text(one.minutes):>8}", "strong"),
            (f"{minutes_text(one.estimated):>8}", "text"),
            (f"{_short_foot(one.per_foot):>8}", "text"),
            (f"{_short_foot(one.all_per_foot):>9}", "muted"),
            (" !" if one.beyond else "", "wrong"),
            key=one.stage,
        )

    def about(self, key: str) -> str:
        one = next((one for one in self._took.stages if one.stage == key), None)
        if one is None:
            told = ""
        else:
            told = self.program.record.stages.name_of(one.stage)
            if one.beyond:
                told += ": more than the high of its estimate"
            told += f"\n{per_foot_text(one.per_foot)} a foot here"
            if one.jobs:
                jobs = f"{many(one.jobs, 'job')}"
                told += f", {per_foot_text(one.all_per_foot)} over {jobs} of before"
        return plain_lines(told)

    def action_save(self) -> None:
        app = self.program
        if app.job is None:
            return
        id_ = app.job.id
        lines = actuals_sheet(id_, app.record, self._took).lines

        def made() -> bytes:
            return ("\n".join(lines) + "\n").encode("utf-8")

        ask_save(app, "Save what it took", f"took-{id_}.txt", {".txt": made})


def plain_lines(text: str) -> str:
    """Each line of a text made harmless."""
    return "\n".join(plain(line) for line in text.splitlines())


def _below(took: JobActuals, step: Step) -> list[Row]:
    """Fix-ups and their price, the reveals, the beams that ran over, and what is not told."""
    rows = [Row(), Row((f" {fix_ups_text(took)}", "strong"), key="fix-ups")]
    for place, line in enumerate(reveal_lines(took, step)):
        rows.append(Row((f" {line}", "text"), key=f"reveals {place}"))
    rows.append(Row())
    if took.beams:
        rows.append(Row((" Beams that ran over", "head")))
        most = max(beam.over for beam in took.beams)
    for beam in took.beams:
        rows.append(
            Row(
                (f" {plain(beam.name):<20.20}", "text"),
                (f"{minutes_text(beam.over):>8} over  ", "strong"),
                (f"{bar(((beam.over, '╫'),), most, 14):<14}  ", "running"),
                (causes_text(beam), "muted"),
                key=f"beam {beam.name}",
            )
        )
    if not took.beams:
        rows.append(Row((" No beam took longer than it should.", "text"), key="no beam"))
    if took.untold:
        told = f" {short(took.untold // 60 * 60)} was logged without pieces: in no beam's time."
        rows += [Row(), Row((told, "muted"), key="untold")]
    return rows


def _short_foot(minutes: Fraction | None) -> str:
    return "" if minutes is None else f"{float(minutes):.1f}"

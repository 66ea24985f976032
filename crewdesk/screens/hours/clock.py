"""The clock: start on a stage with one key, switch, stop."""

from collections.abc import Iterable
from datetime import datetime

from rich.text import Text
from textual import on
from textual.events import Key
from textual.widget import Widget
from textual.widgets import Static

from crewdesk.job.beams.piece import Spot
from crewdesk.job.record import Record
from crewdesk.job.steps.run_sheet import ready_in
from crewdesk.job.time.clock import LONGEST, resume, running, start, too_long
from crewdesk.job.time.logged import by_stage, entry_day, on_day, on_site, total
from crewdesk.paper.plain import plain
from crewdesk.screens.hours.clock_watch import KEEP, NOW, ClockWatch, told_time
from crewdesk.screens.parts.actions import key_words
from crewdesk.screens.parts.ask import choose
from crewdesk.screens.parts.lines import Lines, Row
from crewdesk.screens.parts.page import Page, lasted, stage_here
from crewdesk.screens.parts.program import Program
from crewdesk.screens.parts.sheet import ListSheet
from crewdesk.store.folder import RunningClock
from crewdesk.trade.books.durations import in_days, to_the_minute

_NARROWEST, _WIDEST = 8, 24


def open_clock(app: Program, clocks: ClockWatch) -> None:
    """Open the clock over whatever is in front; without a job ask about one that runs."""
    if app.job is not None:
        app.open("clock", _stage_here(app), clocks)
    else:
        _ask_about(app, clocks)


def _stage_here(app: Program) -> str:
    """The id of the stage under the run sheet's cursor, or else of the one that runs."""
    if stage := stage_here(app):
        return stage
    entry = running(app.record)
    return entry.stage if entry else next(iter(app.record.stages)).id


class ClockSheet(ListSheet[None]):
    """The stages by number, what runs, and today's time."""

    AREA = "clock"
    DEFAULT_CSS = """
    ClockSheet Lines { max-height: 50vh; }
    ClockSheet #runs { height: auto; margin-bottom: 1; }
    ClockSheet #today { height: auto; margin-top: 1; }
    """
    KEYS = (
        "{start-or-switch}: start.  {start-on-the-pieces-that-are-ready}: on its batch.  "
        "{pause-go-on}: pause.  {stop}: stop.  {hours-add-or-mend-an-entry}: hours."
    )
    asks = "The clock"

    def __init__(self, stage: str, clocks: ClockWatch) -> None:
        super().__init__()
        self._clocks = clocks
        self._stage = stage

    def body(self) -> Iterable[Widget]:
        yield Static(id="runs", markup=False)
        yield Lines()
        yield Static(id="today", markup=False)

    def on_mount(self) -> None:
        """Begin on the stage that is offered; look at the clock each second."""
        app = self.program
        self.open_on(_stage_rows(app.record, app.now(), _room(app)), self._stage)
        self._look()
        self.set_interval(1, self._look)

    def _look(self) -> None:
        app = self.program
        record, now = app.record, app.now()
        entry = running(record)
        if entry is None:
            runs = Text("Stopped.", style="bold")
        else:
            name = plain(record.stages.name_of(entry.stage))
            since = told_time(on_site(record, entry.start), now)
            runs = Text(f"▶ {name}  {lasted(entry.lasted(now))}", style="bold")
            runs.append(f"   since {since}", style="not bold")
        for one in self._clocks.elsewhere:
            since = told_time(one.since, now)
            runs.append(
                "\n"
                + plain(f"{one.stage} runs in {one.job} since {since}; starting here stops it.")
            )
        self.query_one("#runs", Static).update(runs)
        self.query_one(Lines).show(_stage_rows(record, now, _room(app)))
        today = total(on_day(record, entry_day(record, now)), now)
        self.query_one("#today", Static).update(
            f"Today {to_the_minute(today)}   whole job {to_the_minute(total(record.entries, now))}"
        )

    def on_key(self, event: Key) -> None:
        """A number starts on that stage."""
        stages = self.program.record.stages.work
        if event.key.isdecimal() and 1 <= int(event.key) <= len(stages):
            event.stop()
            self._begin(stages[int(event.key) - 1].id)

    @on(Lines.Chosen)
    def action_start(self) -> None:
        self._begin(self.query_one(Lines).key)

    def action_batch(self) -> None:
        app, stage = self.program, self.query_one(Lines).key
        spots = ready_in(app.record, stage)
        if not spots:
            self.dismiss()
            app.tell(f"No piece is ready in {app.record.stages.name_of(stage)}.", "wrong")
            return
        self._begin(stage, spots)

    def action_pause(self) -> None:
        app = self.program
        self.dismiss()
        if app.job is None:
            return
        if running(app.record) is not None:
            app.call_later(self._clocks.stop_open, paused=True)
        elif app.job.read_only or not self._clocks.elsewhere:
            app.do(resume)
        else:
            app.call_later(self._clocks.stop_elsewhere, lambda _: app.do(resume))

    def _begin(self, stage: str, pieces: tuple[Spot, ...] = ()) -> None:
        app = self.program
        self.dismiss()
        if app.job is None or app.job.read_only:
            app.do(lambda record, now: start(record, stage, now, pieces=pieces))
            return

        def then(done: str) -> None:
            if app.do(lambda record, now: start(record, stage, now, pieces=pieces)) and done:
                name = app.record.stages.name_of(stage)
                app.tell(f"Saved: clock started on {name}. {done}", "saved")

        def begin() -> None:
            self._clocks.stop_elsewhere(then)

        entry = running(app.record)
        if entry is not None and too_long(entry, app.now()):
            app.call_later(self._clocks.stop_open, begin)
        else:
            app.call_later(begin)

    def action_stop(self) -> None:
        app = self.program
        self.dismiss()
        if running(app.record) is None and self._clocks.elsewhere:
            app.call_later(
                self._clocks.stop_elsewhere, lambda done: app.tell(f"Saved: {done}", "saved")
            )
        else:
            app.call_later(self._clocks.stop_open)

    def action_hours(self) -> None:
        app = self.program
        self.dismiss()
        app.call_later(app.open, "hours")

    def action_leave(self) -> None:
        self.dismiss()


def _room(app: Program) -> int:
    """Columns for a line inside a question's frame, see `.question` in the style sheet."""
    return min(72, app.size.width * 96 // 100) - 8


def _stage_rows(record: Record, now: datetime, room: int) -> list[Row]:
    """A line of so many columns for each stage and other work: number, name and time, today's
    and the job's; of a long name its end is left out, of a time nothing."""
    entry = running(record)
    today = dict(by_stage(record, on_day(record, entry_day(record, now)), now))
    every = dict(by_stage(record, record.entries, now))
    times = {
        stage.id: (
            f"today {to_the_minute(today[stage.id])}" if stage.id in today else "",
            f"job {to_the_minute(every[stage.id])}" if stage.id in every else "",
        )
        for stage in record.stages.work
    }
    of_today = max(len(told) for told, _ in times.values())
    gap = of_today + 2 if of_today else 0
    taken = 10 + gap + max(len(in_all) for _, in_all in times.values())
    names = max(len(plain(one.name)) for one in record.stages.work)
    wide = max(_NARROWEST, min(names, _WIDEST, room - taken))
    rows = []
    for number, stage in enumerate(record.stages.work, 1):
        runs = entry is not None and entry.stage == stage.id
        told, in_all = times[stage.id]
        rows.append(
            Row(
                (f" {'▶' if runs else ' '} {number:>2}  ", "running" if runs else "muted"),
                (f"{plain(stage.name):<{wide}.{wide}}   ", "running" if runs else "text"),
                (f"{told:<{gap}}{in_all}", "muted"),
                key=stage.id,
            )
        )
    return rows


def _ask_about(app: Program, clocks: ClockWatch) -> None:
    """With no job open: say which clock runs, and offer to stop it."""
    clocks.look()
    if not clocks.elsewhere:
        key = key_words(app.key("everywhere.clock"))
        app.tell(f"No clock is running. Open a job and press {key} to start one.")
        return
    clock = clocks.elsewhere[0]
    long = app.now() - clock.since > LONGEST
    if (long or not clocks.looked_after(clock)) and (known := app.desk.clock_of(clock.id)):
        clocks.ask(known, lambda at: _stop(app, clocks, clock, at) if at else None, (KEEP, NOW))
        return

    def chosen(way: str) -> None:
        if way == "stop":
            _stop(app, clocks, clock, None)
        else:
            app.open_job(clock.id)

    choose(
        app,
        f"The clock on {clock.stage} in {clock.job} has been running since "
        f"{told_time(clock.since, app.now())} ({in_days(app.now() - clock.since)}).",
        (("stop", "Stop it"), ("open", "Open the job")),
        chosen,
    )


def _stop(app: Program, clocks: ClockWatch, clock: RunningClock, at: datetime | None) -> None:
    if clocks.stop(clock, at):
        for screen in app.screen_stack:
            if isinstance(screen, Page):
                screen.record_changed(frozenset())
        app.tell(f"Saved: {clock.stage} in {clock.job} was stopped.", "saved")


def goes_on(app: Program, clocks: ClockWatch) -> str:
    """What is said on leaving while a clock runs; nothing where none does."""
    clocks.look()
    if not clocks.elsewhere:
        return ""
    clock = clocks.elsewhere[0]
    return (
        f"The clock on {plain(clock.stage)} in {plain(clock.job)} keeps running, since "
        f"{told_time(clock.since, app.now())}. crewdesk asks about it when you open the "
        "job again."
    )

"""The clock: start on a stage with one key, switch, stop."""

from collections.abc import Iterable
from datetime import datetime, timedelta
from fractions import Fraction

from rich.style import Style
from rich.text import Text
from textual import on
from textual.containers import Horizontal
from textual.events import Key
from textual.widget import Widget
from textual.widgets import Static

from crewdesk.errors import CrewdeskError
from crewdesk.job.beams.piece import Spot
from crewdesk.job.books.actuals import stage_plans
from crewdesk.job.steps.run_sheet import ready_in
from crewdesk.job.time.clock import LONGEST, resume, running, start, too_long
from crewdesk.job.time.logged import (
    by_stage,
    day_spans,
    entry_day,
    hours_shown,
    minutes_by_stage,
    on_day,
    on_site,
    total,
)
from crewdesk.paper.plain import plain
from crewdesk.paper.text.hours import minutes_text
from crewdesk.screens.hours.clock_watch import KEEP, NOW, ClockWatch, told_time
from crewdesk.screens.hours.day import day_parts, hour_marks
from crewdesk.screens.parts.actions import key_words
from crewdesk.screens.parts.ask import choose
from crewdesk.screens.parts.figure import BigFigures, dots
from crewdesk.screens.parts.inked import inked
from crewdesk.screens.parts.lines import Lines, Row
from crewdesk.screens.parts.list_page import fit
from crewdesk.screens.parts.page import Page, stage_here
from crewdesk.screens.parts.program import Program
from crewdesk.screens.parts.sheet import ListSheet
from crewdesk.screens.parts.stick import Part, stick
from crewdesk.sentence import many
from crewdesk.store.folder import RunningClock
from crewdesk.trade.books.durations import in_days, to_the_minute

_NARROWEST, _WIDEST = 8, 24
_STICK, _SHORTEST = 30, 8
"""The most columns of a stick beside the elapsed time, and of one in a line."""
_WIDE, _HIGH = 92, 30
"""The columns of its frame; the rows from which the elapsed time is twice as large."""
_TWO_SIGNS = 10
"""The first stage that one sign alone doesn't start."""
_START = (("{start-or-switch}", "start"), ("{start-on-the-pieces-that-are-ready}", "on its batch"))
_GOING = (("{pause-go-on}", "pause"), ("{stop}", "stop"))
_HOURS = ("{hours-add-or-mend-an-entry}", "hours")
"""Keys and what they do: always, and while a clock runs."""
_TODAY = 60
"""The columns from which the lines show today's time."""


def open_clock(app: Program, clocks: ClockWatch) -> None:
    """Open the clock over the screen in front; without an open job ask about a running one."""
    if app.job is not None:
        app.open("clock", _stage_here(app), clocks)
    else:
        _ask_about(app, clocks)


def _stage_here(app: Program) -> str:
    """Return the id of the running stage, or of the one under the run sheet's cursor."""
    entry = running(app.record)
    return entry.stage if entry else stage_here(app) or next(iter(app.record.stages)).id


class ClockSheet(ListSheet[None]):
    """The running clock and its time, today as a stick, and the stages by number, each with its
    time against its estimate."""

    AREA = "clock"
    DEFAULT_CSS = """
    ClockSheet Lines { max-height: 60vh; }
    ClockSheet #face { height: auto; }
    ClockSheet #elapsed { width: auto; height: 3; color: $foreground; text-style: bold; }
    ClockSheet #runs { width: 1fr; height: auto; padding: 0 0 0 3; }
    ClockSheet #today { height: 2; text-wrap: nowrap; }
    ClockSheet.-high #elapsed { height: 5; }
    ClockSheet.-high #face, ClockSheet.-high #today { margin-bottom: 1; }
    """
    asks = "The clock"

    def __init__(self, stage: str, clocks: ClockWatch) -> None:
        super().__init__()
        self._clocks = clocks
        self._stage = stage
        self._plans: dict[str, Fraction] = {}

    def body(self) -> Iterable[Widget]:
        with Horizontal(id="face"):
            yield BigFigures(id="elapsed")
            yield Static(id="runs", markup=False)
        yield Static(id="today", markup=False)
        yield Lines()

    def on_mount(self) -> None:
        """Begin on the suggested stage; update the clock each second."""
        self._plan()
        self._fit_box()
        self.open_on(self._rows(), self._stage)
        self._look()
        self.set_interval(1, self._look)

    def on_resize(self) -> None:
        """Fit it to the new size."""
        super().on_resize()
        self._fit_box()
        self._look()

    def _fit_box(self) -> None:
        """Make its frame as wide as its longest line, and on a low screen as high as the screen."""
        self.set_class(self.size.height >= _HIGH, "-high")
        for box in self.query(".question"):
            box.styles.width, box.styles.max_width = _WIDE, "100%"
            box.styles.max_height = "92%" if self.size.height >= _HIGH else "100%"
            if self.size.height < _HIGH:
                box.add_class("tight")

    def _plan(self) -> None:
        """Compute each stage's estimate."""
        app = self.program
        try:
            books = app.job_books()
            plans = stage_plans(books.record, books.books.shop, books.past, books.now)
        except CrewdeskError:  # the clock starts and stops without an estimate, too
            return
        self._plans = {one.rate.stage: one.likely for one in plans}

    @on(Lines.Moved)
    def _look(self) -> None:
        app = self.program
        record, now = app.record, app.now()
        entry = running(record)
        day = on_day(record, entry_day(record, now))
        spent = total(day, now)
        figure = to_the_minute(spent)
        elapsed = self.query_one("#elapsed", BigFigures)
        text = Text(no_wrap=True, overflow="ellipsis")
        if entry is None:
            for part, ink in self._offer(self.query_one(Lines).key or self._stage):
                text.append(part, self._ink(ink))
            text.append(f"\n{to_the_minute(spent)} today")
        else:
            figure = to_the_minute(entry.lasted(now))
            since = told_time(on_site(record, entry.start), now)
            name = plain(record.stages.name_of(entry.stage))
            text.append(f"\u25b6 {name}", self._ink("running"))
            text.append(f"  since {since}\n")
            beside = self._room - self._wide(figure) - 4
            for part, ink in self._against_plan(entry.stage, now, beside):
                text.append(part, self._ink(ink))
            text.append(f"\n{to_the_minute(spent)} today")
        text.append(", ")
        text.append(f"{to_the_minute(total(record.entries, now))} in all")
        for one in self._clocks.elsewhere:
            since = told_time(one.since, now)
            text.append(
                "\n"
                + plain(f"{one.stage} runs in {one.job} since {since}; starting here stops it.")
            )
        elapsed.show(figure)
        elapsed.styles.width = self._wide(figure)
        self.query_one("#runs", Static).update(text)
        lines = self.query_one(Lines)
        width = self._room
        spans = day_spans(record, day, now)
        first, last = hours_shown(spans)
        drawn = Text(no_wrap=True)
        for part, ink in day_parts(spans, first, last, width):
            drawn.append(part, self._ink(ink))
        drawn.append(f"\n{hour_marks(first, last, width)}", self._ink("muted"))
        self.query_one("#today", Static).update(drawn)
        lines.show(self._rows())
        going = entry is not None or bool(self._clocks.elsewhere)
        self.query_one("#keys", Static).update(inked([self._keys(going=going)]))

    def _keys(self, *, going: bool) -> list[Part]:
        """Return the keys that do something now."""
        named = (*_START, *(_GOING if going else ()), _HOURS)
        parts = (((self.with_keys(key), "key"), (f" {word}   ", "muted")) for key, word in named)
        return [part for pair in parts for part in pair]

    def _offer(self, id_: str) -> list[Part]:
        """What is done next while nothing runs: start the stage under the cursor; and why."""
        record = self.program.record
        number = next(at for at, one in enumerate(record.stages.work, 1) if one.id == id_)
        key = self.with_keys("{start-or-switch}")
        key += f" or {number}" if number < _TWO_SIGNS else ""
        count = len(ready_in(record, id_)) if id_ in {one.id for one in record.stages} else 0
        text = f"{many(count, 'piece')} ready there" if count else "No piece waits for it"
        name = plain(record.stages.name_of(id_))
        return [(f"Stopped. \u25b7 Start {name}: {key}", "set"), (f"\n{text}", "text")]

    def _wide(self, figure: str) -> int:
        """Return the columns of the elapsed time."""
        return len(dots(figure)[0]) * (1 + self.has_class("-high"))

    def _against_plan(self, stage: str, now: datetime, width: int) -> list[Part]:
        """Return a stage's time on the job as a stick against what it should take."""
        spent = minutes_by_stage(self.program.record, now).get(stage, Fraction(0))
        plan = self._plans.get(stage)
        text, after = f"{minutes_text(spent)} ", f" plan {minutes_text(plan)}" if plan else ""
        room = min(max(width - len(text) - len(after), 0), _STICK)
        drawn = stick(spent, plan, max(spent, plan), room, ink="running") if plan else []
        return [(text, "strong"), *drawn, (after, "muted")]

    def _ink(self, name: str) -> Style:
        """Return an ink of `Lines` as a style, for other text."""
        return self.query_one(Lines).style_of(f"lines--{name}")

    @property
    def _room(self) -> int:
        """Columns for a line inside its frame, see `.question` in the style sheet."""
        return min(_WIDE, self.size.width) - 8

    def _rows(self) -> list[Row]:
        """Return a line for each stage and other work: its number, today's time, and the job's as a
        stick against its estimate."""
        record, now = self.program.record, self.program.now()
        entry, here = running(record), self.query_one(Lines).key or self._stage
        today = dict(by_stage(record, on_day(record, entry_day(record, now)), now))
        every = minutes_by_stage(record, now)
        stages = record.stages.work
        most = max((*every.values(), *self._plans.values()), default=Fraction(0))
        names = max(len(plain(one.name)) for one in stages)
        of_today = 9 if self._room >= _TODAY else 0
        wide = max(_NARROWEST, min(names, _WIDEST, self._room - of_today - 33))
        room = self._room - wide - of_today - 25
        head = f"{'today' if of_today else '':>{of_today}}"
        notch = fit("notch = plan", max(room, 0)) if room >= _SHORTEST else " " * max(room, 0)
        heads = f"{'':6}{'':<{wide}}{head}{'job':>9}  {notch}{'plan':>8}"
        rows = [Row((heads, "muted"))]
        for number, stage in enumerate(stages, 1):
            runs = entry is not None and entry.stage == stage.id
            next_ = entry is None and stage.id == here
            sign = "\u25b6" if runs else "\u25b7" if next_ else " "
            ink = "running" if runs else "strong" if next_ else "text"
            name = plain(stage.name)
            name = name if len(name) <= wide else f"{name[: wide - 1]}\u2026"
            spent, plan = every.get(stage.id, Fraction(0)), self._plans.get(stage.id)
            drawn = [(" " * max(room, 0), "text")]
            if room >= _SHORTEST and (spent or plan):
                made = "running" if runs else "made"
                drawn = stick(spent, plan, most, room, ink=made)
            rows.append(
                Row(
                    (f" {sign}", "set" if next_ else ink),
                    (f" {number:>2}  {name:<{wide}}", ink),
                    (f"{_minutes(today.get(stage.id)):>9}" if of_today else "", "strong"),
                    (f"{minutes_text(spent) if spent else '':>9}  ", "strong"),
                    *drawn,
                    (f"{minutes_text(plan) if plan else '':>8}", "muted"),
                    key=stage.id,
                )
            )
        return rows

    def on_key(self, event: Key) -> None:
        """Start on the stage of a digit."""
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


def _minutes(time: timedelta | None) -> str:
    """Return a time to the minute, or ""."""
    return to_the_minute(time) if time else ""


def _ask_about(app: Program, clocks: ClockWatch) -> None:
    """Without an open job, show which clock is running, and offer to stop it."""
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
    """Return the message on leaving while a clock is running; "" if none is."""
    clocks.look()
    if not clocks.elsewhere:
        return ""
    clock = clocks.elsewhere[0]
    return (
        f"The clock on {plain(clock.stage)} in {plain(clock.job)} keeps running, since "
        f"{told_time(clock.since, app.now())}. crewdesk asks about it when you open the "
        "job again."
    )

"""Watch the clocks: ask about one that ran unattended.

A clock started in this run of crewdesk, or one that the user let run on, is attended. One from an
earlier run, or one that ran while the machine slept, isn't until the user decides about it.
"""

from collections.abc import Callable
from datetime import datetime

from crewdesk.errors import CrewdeskError
from crewdesk.job.time.clock import ASK_AFTER, LONGEST, pause, running, stop, too_long
from crewdesk.screens.parts.page import lasted
from crewdesk.screens.parts.program import Host
from crewdesk.store.folder import RunningClock, running_clock
from crewdesk.trade.books.dates import weekday
from crewdesk.trade.books.durations import in_days

KEEP, NOW, AS_OF, TYPED = "keep", "now", "as of", "typed"
_OFFERS = {KEEP: "Keep it running", NOW: "Stop it now"}


class ClockWatch:
    """The state of every clock while crewdesk runs."""

    def __init__(self, app: Host, doubt: Callable[[RunningClock | None], str]) -> None:
        self._app, self._doubt = app, doubt
        self._watched_from = self._last_look = app.now()
        self._slept_at: datetime | None = None
        self._kept: set[tuple[str, datetime]] = set()
        self.asking = False
        self.elsewhere: tuple[RunningClock, ...] = ()

    def look(self) -> None:
        """Find running clocks in jobs that are not open."""
        here = self._app.job.id if self._app.job else ""
        try:
            self.elsewhere = tuple(one for one in self._app.desk.clocks() if one.id != here)
        except CrewdeskError as refused:
            self._app.tell(str(refused), "wrong")

    def told(self, now: datetime) -> str:
        """Return the running clock of another job, in a few words; "" if none is."""
        if not self.elsewhere:
            return ""
        one = self.elsewhere[0]
        return f"{one.job}: {one.stage} {lasted(now - one.since)}"

    def looked_after(self, clock: RunningClock) -> bool:
        """Return whether a clock is attended."""
        return clock.since >= self._watched_from or (clock.id, clock.since) in self._kept

    def tick(self) -> None:
        """Called each second; a long gap between two calls means that the machine slept."""
        now, before = self._app.now(), self._last_look
        self._last_look = now
        if now - before > ASK_AFTER:
            self._watched_from, self._slept_at = now, before
            self._kept.clear()
            self.opened()

    def opened(self) -> None:
        """Ask about the open job's clock if it ran unattended."""
        job = self._app.job
        if job is None or job.read_only or running(job.record) is None or self.asking:
            return
        clock = running_clock(job)
        if clock is not None and not self.looked_after(clock):
            self.ask(clock, self._answer_for_open)

    def stop_open(self, then: Callable[[], None] = lambda: None, *, paused: bool = False) -> None:
        """Stop the open job's clock, then call `then`; ask first about one that ran too long to be
        real. `then` is not called if the clock can't be stopped."""
        app, job, now = self._app, self._app.job, self._app.now()
        entry = running(app.record)

        def stopped(at: datetime | None) -> None:
            act = pause if paused else stop
            if app.do(lambda record, now: act(record, now, at=at)):
                then()

        if job is None or entry is None or not too_long(entry, now):
            stopped(None)
        elif (clock := running_clock(job)) is not None:
            self.ask(clock, stopped, (NOW,), looked_after=True)

    def _answer_for_open(self, at: datetime | None) -> None:
        if at is not None:
            self._app.do(lambda record, now: stop(record, now, at=at))

    def ask(
        self,
        clock: RunningClock,
        then: Callable[[datetime | None], None],
        offers: tuple[str, ...] = (KEEP,),
        *,
        looked_after: bool = False,
    ) -> None:
        """Ask what to do about a clock; `then` gets when it stopped, or None to let it run.

        `offers` are those of `KEEP` and `NOW` that can be chosen. Where `KEEP` is none
        of them and the user leaves the question, `then` is not called.
        """
        from crewdesk.screens.parts.ask import choose

        self.asking = True
        now = self._app.now()
        away, at, why = "crewdesk was closed", clock.last, "the last saved change"
        if self._slept_at is not None and self._slept_at > clock.since:
            at = self._slept_at.astimezone(clock.since.tzinfo)
            away, why = f"the computer slept from {at:%H:%M}", "before it slept"
        ways = [(way, _OFFERS[way]) for way in offers]
        if at is not None:
            long = in_days(at - clock.since)
            ways.append((AS_OF, f"Stop it at {told_time(at, now)}, {why}: {long}"))
        ways.append((TYPED, "Stop it at a time you type"))

        def left() -> None:
            self.asking = False
            if KEEP in offers:
                chosen(KEEP)

        def chosen(way: str) -> None:
            if way == TYPED:
                self._ask_when(clock, then, offers)
                return
            self.asking = False
            if way == KEEP:
                self._kept.add((clock.id, clock.since))
            then({AS_OF: at, NOW: now}.get(way))

        since = f"{told_time(clock.since, now)} ({in_days(now - clock.since)})"
        unseen = "" if looked_after else f", also while {away}"
        text = f"The clock on {clock.stage} in {clock.job} has run since {since}{unseen}."
        choose(self._app, text, ways, chosen, left=left)

    def _ask_when(
        self,
        clock: RunningClock,
        then: Callable[[datetime | None], None],
        offers: tuple[str, ...],
    ) -> None:
        from crewdesk.job.time.typed_entry import stop_time
        from crewdesk.screens.parts.ask import Answer, Field, ask

        def read(text: str) -> datetime:
            return stop_time(clock.since, text, self._app.now())

        def given(answer: Answer) -> None:
            self.asking = False
            then(read(answer["at"]))

        hint = "9:55, 2:30pm, or how long it ran: 1h20"
        ask(
            self._app,
            f"When did {clock.stage} stop?",
            (Field("at", "Stopped at", hint=hint, read=read),),
            given,
            left=lambda: self.ask(clock, then, offers),
            does="Stop it then",
            about=f"It was started at {told_time(clock.since, self._app.now())}.",
        )

    def stop_elsewhere(self, then: Callable[[str], None]) -> None:
        """Stop the clocks of all other jobs, then call `then` with the result in words.

        Ask first about one that ran unattended. `then` is not called if one can't be stopped, which
        is shown, or if the user cancels.
        """
        self.look()
        self._stop_next(list(self.elsewhere), [], then)

    def _stop_next(
        self, left: list[RunningClock], done: list[str], then: Callable[[str], None]
    ) -> None:
        if not left:
            self.look()
            then("  ".join(done))
            return
        clock = left.pop(0)

        def stopped(at: datetime | None) -> None:
            if self.stop(clock, at):
                done.append(f"{clock.stage} in {clock.job} was stopped.")
                self._stop_next(left, done, then)

        if self.looked_after(clock) and self._app.now() - clock.since <= LONGEST:
            stopped(None)
            return
        try:
            known = self._app.desk.clock_of(clock.id)
        except CrewdeskError as refused:
            self._app.tell(str(refused), "wrong")
            return
        if known is not None:
            self.ask(known, stopped, (NOW,))

    def stop(self, clock: RunningClock, at: datetime | None) -> bool:
        """Stop the clock of a job that is not open, now or as of `at`; show an error."""
        try:
            if doubt := self._doubt(self._app.desk.clock_of(clock.id)):
                self._app.tell(doubt, "wrong")
                return False
            self._app.desk.stop_clock(clock.id, self._app.now(), at=at)
        except CrewdeskError as refused:
            self._app.tell(str(refused), "wrong")
            return False
        self.look()
        return True


def told_time(when: datetime, now: datetime) -> str:
    """Return the time of day, with its day if not today."""
    same = when.date() == now.astimezone(when.tzinfo).date()
    return f"{when:%H:%M}" if same else f"{weekday(when.date())} {when:%H:%M}"

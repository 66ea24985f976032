"""Planning boards in a thread: the search's progress, and how to stop it."""

from decimal import Decimal
from threading import Event

from textual.message import Message
from textual.worker import Worker, WorkerState, get_current_worker

from crewdesk.errors import CrewdeskError
from crewdesk.job.lumber.plan_boards import solve
from crewdesk.job.lumber.takeoff import Takeoff
from crewdesk.job.lumber.task import Task
from crewdesk.paper.documents.letter import money
from crewdesk.screens.parts.inked import Band
from crewdesk.screens.parts.stick import Part, closing_stick
from crewdesk.trade.boards.cutting_plan import Progress


class Planning(Band):
    """Shown while a plan is made in a thread; `key` stops it."""

    DEFAULT_CSS = """
    Planning { background: $surface; display: none; }
    """

    class Made(Message):
        """The plan is made; `stopped` before it was proven."""

        def __init__(self, takeoff: Takeoff, *, stopped: bool) -> None:
            super().__init__()
            self.takeoff, self.stopped = takeoff, stopped

    class Failed(Message):
        """There is no plan, and why."""

        def __init__(self, refused: CrewdeskError) -> None:
            super().__init__()
            self.refused = refused

    def __init__(self, key: str, seconds: int) -> None:
        super().__init__(id="busy")
        self._key, self._seconds = key, seconds
        self._stop = Event()
        self._first = self._last = Decimal(0)
        self._worker: Worker[Takeoff] | None = None

    @property
    def busy(self) -> bool:
        """Whether a plan is being made."""
        return self._worker is not None

    def begin(self, task: Task) -> None:
        """Plan, for at most `seconds`."""
        self._stop.clear()
        self._first, self._last = Decimal(0), Decimal(0)
        self.tell([[("Planning the boards …  ", "text"), self._key_part("Stop")]])
        self._worker = self.run_worker(lambda: self._solve(task), thread=True, exit_on_error=False)

    def stop(self) -> None:
        """Stop, and use the best plan so far."""
        self._stop.set()
        self.tell([[("Stopping …", "text")]])

    def _key_part(self, does: str) -> Part:
        return f"{does}: press {self._key}", "set"

    def _solve(self, task: Task) -> Takeoff:
        """Run in a thread; use the screen only through the app's queue."""
        worker = get_current_worker()

        def stop() -> bool:
            return self._stop.is_set() or worker.is_cancelled

        def tell(progress: Progress) -> None:
            if not stop():
                self.app.call_from_thread(self._progressed, progress)

        return solve(task, seconds=self._seconds, stop=stop, tell=tell)

    def _progressed(self, progress: Progress) -> None:
        """Show the best cost so far and the bound: from their first values they close in on each
        other."""
        best, low = progress.cost, progress.bound
        self._last = max(self._last, best)
        self._first = self._first or low
        known = f" · can't be under {money(low)}" if low else ""
        line: list[Part] = [
            ("Planning: ", "text"),
            (f"best {money(best)}", "strong"),
            (f"{known}   ", "text"),
            self._key_part("Take it"),
        ]
        drawn = closing_stick(low, best, self._first, self._last, max(self.size.width, 2))
        self.tell([line, drawn if low else []])

    def on_worker_state_changed(self, event: Worker.StateChanged) -> None:
        """Report the plan when it is made, or why there is none."""
        if event.worker is not self._worker or not event.worker.is_finished:
            return
        self._worker = None
        self.display = False
        if event.state is WorkerState.SUCCESS:
            found = event.worker.result
            assert isinstance(found, Takeoff)
            stopped = self._stop.is_set() and not found.optimal
            self.post_message(self.Made(found, stopped=stopped))
        elif isinstance(event.worker.error, CrewdeskError):
            self.post_message(self.Failed(event.worker.error))
        elif event.worker.error is not None:
            raise event.worker.error

    def on_unmount(self) -> None:
        """Cancel a plan that is still being made."""
        self._stop.set()

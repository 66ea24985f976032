"""The app: the open job, the only way to change it, and everything common to all pages."""

import gc
import tempfile
from collections.abc import Callable
from contextlib import suppress
from datetime import datetime
from pathlib import Path
from threading import Timer
from typing import TYPE_CHECKING

from rich.console import RenderableType
from rich.text import Text

from crewdesk.errors import ClockDoubt, CrewdeskError, Damaged, NotSaved
from crewdesk.job.beams.piece import Spot
from crewdesk.job.books.shop_record import ShopRecord
from crewdesk.job.change import Change
from crewdesk.job.record import Record
from crewdesk.screens import saving
from crewdesk.screens.hours.clock_watch import ClockWatch
from crewdesk.screens.looks import LookingApp
from crewdesk.screens.parts import actions
from crewdesk.screens.parts.actions import EVERYWHERE
from crewdesk.screens.parts.coach import FIRST, Coaching
from crewdesk.screens.parts.keys_line import NamedKeys
from crewdesk.screens.parts.page import Page, clock_words
from crewdesk.screens.parts.themes import load_themes
from crewdesk.screens.piece.changed_cuts import ChangedCuts
from crewdesk.screens.saving import Saving
from crewdesk.screens.undo import Undo
from crewdesk.store import machine_clock
from crewdesk.store.desk import Desk

if TYPE_CHECKING:
    pass


TIME_TO_LEAVE = 10.0
"""The seconds that leaving may take after a signal, once pending changes are saved."""


class CrewdeskApp(NamedKeys, LookingApp):
    """crewdesk on the screen."""

    TITLE = "crewdesk"
    ENABLE_COMMAND_PALETTE = False
    CSS_PATH = "crewdesk.tcss"
    AREA = EVERYWHERE

    def __init__(
        self,
        desk: Desk,
        *,
        open_job: str | None = None,
        themes_folder: Path | None = None,
        cache_folder: Path | None = None,
        large: bool = False,
        clock: machine_clock.Clock | None = None,
        platform: str = "",
        first_time: bool = False,
    ) -> None:
        """Open the program on a data folder.

        clock: what tells the time, in the computer's time zone; None for the computer's own.
        platform: the system whose keys are named, as `sys.platform` does; "" for this one.
        first_time: whether to say on the run sheet what to try first.
        """
        self.loaded = load_themes(themes_folder)
        super().__init__(desk, clock or machine_clock.machine_now, platform or actions.PLATFORM)
        self.cache_folder = cache_folder or desk.folder / "cache"
        self.large = large
        self.coaching = FIRST if first_time else Coaching()
        self._sample: tempfile.TemporaryDirectory[str] | None = None
        self._first_job = open_job
        self.look_first()
        self.cuts = ChangedCuts(self)
        self.saving = Saving(self, self.cuts)
        self.clocks = ClockWatch(self, self.saving.doubt)
        self.undo = Undo(self, self.cuts)
        desk.shop.keeps_last = True
        desk.shop.check_clock = self.saving.check_clock
        self.lost = ""

    def get_theme_variable_defaults(self) -> dict[str, str]:
        """Our own colors by the first theme, for a theme that lacks them."""
        return dict(self.loaded.themes[0].variables) if self.loaded.themes else {}

    def on_mount(self) -> None:
        """Begin with the list of jobs, or with the requested job."""
        trouble = self.begin_look()
        self.clocks.look()
        self.set_interval(1, self.clocks.tick)
        self.set_interval(1, self.saving.look)
        self.set_timer(1, _collect_again)
        self.set_timer(saving.BACKUP_ASKED_AFTER, self.saving.remind_of_backup)
        if trouble:
            from crewdesk.screens.run_sheet.trouble import ask_trouble

            self.show_jobs()
            self.call_after_refresh(ask_trouble, self, None, trouble, self.exit)
        elif self._first_job is not None:
            self.call_later(self.open_job, self._first_job)
        else:
            self.call_later(self.show_jobs)
        if self.own_keys.complaints:
            self.call_after_refresh(self.tell, self.own_keys.complaints[0], "wrong")

    def show_jobs(self) -> None:
        """Show the list of jobs if it isn't open yet: it is created only when needed, so that a
        requested job opens at once."""
        if not any(page.LISTS_JOBS for page in self.pages):
            self.open("jobs")

    def open_job(self, id_: str) -> None:
        """Open a job and show its run sheet."""
        self.close_job()
        self.undo.forget()
        try:
            self.job = self.desk.open(id_)
        except Damaged as damaged:
            from crewdesk.screens.run_sheet.trouble import ask_trouble

            self.show_jobs()
            self.tell(str(damaged), "wrong")
            ask_trouble(self, id_, str(damaged))
            return
        except CrewdeskError as refused:
            self.show_jobs()
            self.tell(refused.shown(self.shown_step), "wrong")
            return
        self.tell("")  # the message of the page before was about another job
        self.job.holding = True
        self.saving.opened()
        self.open("run-sheet")
        self.call_after_refresh(self._tell_waiting)  # after its page is open
        self.clocks.look()
        self.clocks.opened()

    def _tell_waiting(self) -> None:
        if waiting := self.cuts.waiting():
            self.tell(waiting, "wrong")

    def visit_sample(self) -> None:
        """Open a fresh copy of the sample job, on its own desk."""
        from crewdesk.paper.job_document import sample_desk

        self.close_job()
        try:
            folder = tempfile.TemporaryDirectory(prefix="crewdesk-sample-")
            self.desk, id_ = sample_desk(Path(folder.name), self.now())
        except (OSError, CrewdeskError) as error:
            self.tell(str(error), "wrong")
            return
        self._sample = folder
        self.coaching = FIRST
        self.open_job(id_)
        self.tell("A sample job: try anything. It is gone when you go back to the jobs.")

    def leave_sample(self) -> None:
        """Leave the sample job for the user's own desk."""
        if self._sample is not None:
            self.desk = self.own_desk
            folder, self._sample = self._sample, None
            folder.cleanup()
            self.undo.forget()
            self.clocks.look()

    def close_job(self) -> None:
        """Close the open job, after writing it whole."""
        if self.job is not None:
            job, self.job = self.job, None
            self.undo.forget_job()
            try:
                job.close(self.now())
            except CrewdeskError as refused:
                self.tell(str(refused), "wrong")
            self.clocks.look()

    def do(self, act: Callable[[Record, datetime], Change]) -> bool:
        """Make the change that `act` returns; show what was saved, or why nothing was.

        Every change from a screen goes through here, and so through `JobFile.make`.
        """
        job, now = self.job, self.now()
        if job is None:
            return False
        waiting, wrong, cuts = len(job.waiting), "", self.cuts.keys()
        try:
            change = act(job.record, now)
            if wrong := self.saving.clock_wrong(now):
                self.saving.keep_late(act)
                self.tell(wrong, "wrong")
                self.look_at_signs()
                return False
            job.make(change)
        except CrewdeskError as refused:
            wrong = refused.shown(self.shown_step)
            if len(job.waiting) == waiting:
                self.tell(wrong, "wrong")
                return False
        self.undo.note(change)
        self.cuts.look(cuts)
        self.show_made(change, f"Saved: {change.what}.")
        self.tell_after(f"Saved: {change.what}.", wrong)
        return True

    def tell_after(self, words: str, wrong: str) -> None:
        """Show what a change affects after it was made or came in."""
        came = self.saving.came()
        if wrong:
            self.tell(wrong, "wrong")
        elif came.startswith("Changed in two"):
            self.tell(f"{came}  {self.cuts.told}".rstrip(), "wrong")
        elif self.cuts.told:
            self.tell(f"{words.partition(':')[0]}. {self.cuts.told}", "wrong")
        elif came:
            self.tell(f"{words}  {came}", "saved")
        self.look_at_signs()

    def do_shop(self, act: Callable[[ShopRecord, datetime], Change]) -> bool:
        """Make the change of the business's record that `act` returns; show what was saved, or why
        not.

        The only way to change it from a screen, as `do` is for the job; it uses `ShopFile.make`.
        """
        try:
            change = self.desk.shop.make(act, self.now())
        except NotSaved as error:
            if not error.unsure:  # it might be made twice
                self.saving.keep_shop(act)
            self.tell(str(error if error.unsure else error.held()), "wrong")
            self.look_at_signs()
            return False
        except ClockDoubt as error:
            self.saving.keep_shop(act)
            self.tell(str(error), "wrong")
            self.look_at_signs()
            return False
        except CrewdeskError as refused:
            self.tell(refused.shown(self.shown_step), "wrong")
            return False
        if any(table == "documents" for table, _ in change.rows):
            self.show_made(change, f"Saved: {change.what}. This can't be undone.", shop=True)
        else:
            self.undo.note(change, shop=True)
            self.show_made(change, f"Saved: {change.what}.", shop=True)
        return True

    def show_made(self, change: Change, words: str, *, shop: bool = False) -> None:
        """Show what was changed; for the business only on the page in front, since other pages
        refresh when they are shown."""
        self.tell(words, "saved")
        if shop and self.job is not None:
            cuts = self.cuts.keys()
            self.job.record.look_at_crew()
            self.cuts.look(cuts)
            if self.cuts.told:
                self.tell(f"{words.partition(':')[0]}. {self.cuts.told}", "wrong")
        for page in self.pages[-1:] if shop else self.pages:
            page.record_changed(frozenset() if shop else change.rows)

    @property
    def cuts_told(self) -> str:
        """The message about cuts that need an answer."""
        return self.cuts.told

    @cuts_told.setter
    def cuts_told(self, told: str) -> None:
        self.cuts.told = told

    def taken_back(self, *, of_shop: bool) -> str:
        """Return what the undo key would undo; on a page about the business, in its record."""
        return self.undo.told(of_shop=of_shop)

    def waits(self) -> str:
        """What is waiting to be saved or chosen, in a few words; "" if nothing is."""
        return self.saving.sign()

    def clock_told(self) -> str:
        """Return the clock's state in a few words; "" if it is stopped."""
        now = self.now()
        return clock_words(self, now) or self.clocks.told(now)

    def action_undo(self) -> None:
        self.undo.back()

    def action_redo(self) -> None:
        self.undo.again()

    def action_save_again(self) -> None:
        self.saving.again()
        self.look_at_signs()

    def leave_job(self) -> None:
        """Go back from the job to the list; ask about anything unsaved."""

        def leave() -> None:
            self.close_job()
            self.pop_screen()
            self.show_jobs()

        self.saving.before_leaving(leave)

    def _dismissed(self, sheet: str) -> bool:
        """Close a sheet if it is in front."""
        closes = getattr(self.screen, "AREA", "") == sheet
        if closes:
            self.screen.dismiss()
        return closes

    def action_clock(self) -> None:
        from crewdesk.screens.hours.clock import open_clock

        if not self.clocks.asking and not self._dismissed("clock"):
            open_clock(self, self.clocks)

    def action_help(self) -> None:
        if not self._dismissed("help"):
            self.open("help", self.screen)

    def action_look_up(self) -> None:
        from crewdesk.screens.look_up import open_look_up

        if not self._dismissed("look-up"):
            open_look_up(self)

    def go_to(self, job: str, spot: Spot | None) -> None:
        """Open a job ("": the open one), and in it a piece."""
        from crewdesk.screens.parts.going import go_to

        go_to(self, job, spot)

    def action_shop(self) -> None:
        page = self.screen
        if not isinstance(page, Page):
            self.tell("Answer or leave the question first.", "wrong")
        elif not page.OF_SHOP:
            self.open("shop")

    def goes_on(self, error: Exception) -> bool:
        """Show an unexpected error of ours and continue; after any other error save pending
        changes."""
        if isinstance(error, CrewdeskError):
            self.tell(error.shown(self.shown_step), "wrong")
            return True
        self.rescue()
        return False

    def panic(self, *renderables: RenderableType) -> None:
        """Save pending changes and end with the error."""
        self.rescue()
        super().panic(*renderables)

    def end_by(self, number: int) -> None:
        """Save pending changes and exit because of a signal; the exit status is 128 + its
        number."""
        status = 128 + number
        if (self.return_code or 0) > 128:  # it is leaving already
            return
        self.rescue()
        self.exit(return_code=status)
        if self.leave_now is not None:
            last = Timer(TIME_TO_LEAVE, self.leave_now, [status])
            last.daemon = True
            last.start()

    def rescue(self) -> str:
        """Save all pending changes without a question, and close the job, since the program is
        ending.

        Return a sentence about what could not be saved, or "".
        """
        with suppress(Exception):  # another failure must not stop the rest from being saved
            self.lost = self.saving.rescue() or self.lost
        job, self.job = self.job, None
        if job is not None:
            with suppress(Exception):
                job.close(self.now())
        folder, self._sample = self._sample, None
        if folder is not None:
            with suppress(OSError):
                folder.cleanup()
        return self.lost

    async def action_quit(self) -> None:
        from crewdesk.screens.hours.clock import goes_on

        if not all(page.lets_go() for page in reversed(self.pages)):
            return

        def leave() -> None:
            self.close_job()
            self.leave_sample()
            self.exit(message=Text(goes_on(self, self.clocks)))

        self.saving.before_leaving(leave)


def _collect_again() -> None:
    """Enable Python's garbage collection again, for objects created after the start only."""
    if not gc.isenabled():
        gc.freeze()
        gc.enable()

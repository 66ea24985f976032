"""Unsaved changes, and others' changes: shown, retried, never forgotten."""

from collections.abc import Callable
from contextlib import suppress
from datetime import datetime

from crewdesk.errors import ClockDoubt, CrewdeskError, Damaged, NotSaved
from crewdesk.job.books.shop_record import ShopRecord
from crewdesk.job.change import Change
from crewdesk.job.record import Record
from crewdesk.job.sync.conflicts import unsettled
from crewdesk.job.time.clock import SET_BACK, doubt_text, doubtful
from crewdesk.screens.parts.actions import key_words
from crewdesk.screens.parts.page import front
from crewdesk.screens.parts.program import Host
from crewdesk.screens.piece.changed_cuts import ChangedCuts
from crewdesk.store.folder import RunningClock

Act = Callable[[Record, datetime], Change]
ShopAct = Callable[[ShopRecord, datetime], Change]
BACKUP_ASKED_AFTER = 2.0
"""Seconds after the start until the reminder of a backup."""
_AGAIN, _TWICE = "everywhere.save-what-waits", "everywhere.changed-in-two-places"


class Saving:
    """Pending changes: of the open job, of the business's record, and those that the machine's
    clock prevents."""

    def __init__(self, app: Host, cuts: ChangedCuts) -> None:
        self._app, self._cuts = app, cuts
        self._shop_acts: list[ShopAct] = []
        self._late: list[Act] = []
        self._clock_taken = self._clock_told = False
        self._told_damage = ""
        self._apart: frozenset[str] = frozenset()
        self.asking = False

    def remind_of_backup(self) -> None:
        """Show that there has been no backup for more than a week, if there is no other message."""
        from crewdesk.store.backup import days_without_backup

        page = front(self._app)
        if self._app.desk is not self._app.own_desk or page is None or page.says_something:
            return
        with suppress(CrewdeskError, OSError):
            if days := days_without_backup(self._app.desk, self._app.now()):
                self._app.tell(
                    f"No backup for {days} days. Run `crewdesk backup --to FOLDER`, for example "
                    "with a stick's folder."
                )

    @property
    def count(self) -> int:
        """How many changes are not saved."""
        job = self._app.job
        return len(job.waiting if job else ()) + len(self._shop_acts) + len(self._late)

    def sign(self) -> str:
        """Return a few words for the top line; "" if all is saved."""
        if count := self.count:
            return f"! {count} not saved · {self._key(_AGAIN)}"
        job, books = self._app.job, self._app.desk.shop.last
        kept = len(unsettled(job.record)) if job else 0
        kept += len(unsettled(books)) if books else 0
        if kept:
            return f"! {kept} changed twice · {self._key(_TWICE)}"
        return ""

    def _key(self, action: str) -> str:
        return key_words(self._app.key(action))

    # The clock of the machine

    def opened(self) -> None:
        """Forget the clock doubts of the job before: another one is open."""
        self._clock_taken = self._clock_told = False
        self._told_damage = ""
        self._apart = frozenset()

    def clock_wrong(self, now: datetime) -> str:
        """Return the problem of the computer's clock, "" if none."""
        job = self._app.job
        last = job.last if job else None
        return self._clock_wrong(now, last)

    def _clock_wrong(self, now: datetime, last: datetime | None) -> str:
        if last is None or self._clock_taken or not doubtful(now, last):
            return ""
        if now > last and not doubtful(now, max(self._app.own_desk.latest() or last, last)):
            return ""
        self._clock_told = True
        return (
            f"Not saved: {doubt_text(self._app.clock(), last)}. Set the clock right. "
            f"{self._key(_AGAIN)} then saves, or saves it with that time all the same."
        )

    def check_clock(self, last: datetime | None) -> None:
        """Raise `ClockDoubt` if a change of the shop would bear a wrong time."""
        if wrong := self._clock_wrong(self._app.now(), last):
            raise ClockDoubt(wrong)

    def doubt(self, clock: RunningClock | None) -> str:
        """Return why another job's clock can't be stopped at the computer's time, or ""."""
        now, last = self._app.now(), (clock.last or clock.since) if clock else None
        if last is None or now >= last - SET_BACK:
            return ""
        return f"Not stopped: {doubt_text(self._app.clock(), last)}. Set the clock right."

    def keep_late(self, act: Act) -> None:
        """Keep a change until the machine's clock is right."""
        self._late.append(act)

    def keep_shop(self, act: ShopAct) -> None:
        """Keep a change of the business's record that couldn't be saved."""
        self._shop_acts.append(act)

    # Trying again

    def again(self) -> None:
        """Try to save all pending changes; show the result."""
        if not self.count and self._clock_told and not self._clock_taken:
            self._clock_taken = True
            self._app.tell(
                "From now on changes are saved with the time this computer's clock says."
            )
            return
        if not self.count:
            self._app.tell(
                "Everything you entered is saved. What you are typing isn't: press "
                "Enter to enter it."
            )
            return
        app, count = self._app, self.count
        self._clock_taken = self._clock_taken or self._clock_stops()
        wrong = self._try()
        app.show_all()
        if wrong:
            app.tell(wrong, "wrong")
        else:
            changes = "change" if count == 1 else "changes"
            app.tell(f"Saved: {count} {changes} that waited.", "saved")

    def _try(self) -> str:
        """Try to save all pending changes; return the error in a sentence, or ""."""
        app, wrong = self._app, ""
        job, now = app.job, app.now()
        try:
            if job is not None and job.waiting:
                job.save()
        except (NotSaved, Damaged) as error:
            wrong = str(error.held() if isinstance(error, NotSaved) else error)
        late, self._late = self._late, []
        for act in late:
            if not app.do(act):
                wrong = wrong or app.last_told
        acts, self._shop_acts = self._shop_acts, []
        for number, shop_act in enumerate(acts):
            try:
                app.desk.shop.make(shop_act, now)
            except NotSaved as error:  # a change that may be saved is not made twice
                self._shop_acts = acts[number + error.unsure :]
                wrong = wrong or str(error if error.unsure else error.held())
                break
            except ClockDoubt as error:
                self._shop_acts = acts[number:]
                wrong = wrong or str(error)
                break
            except CrewdeskError as refused:
                wrong = wrong or str(refused)
        return wrong

    def rescue(self) -> str:
        """Save all that waits, without a question, since the program is being ended.

        What the machine's clock stands in the way of is saved at the time of the last change:
        that one is known not to lie in the future. Return a sentence about what could not be
        saved, or "".
        """
        app, job, why, lost = self._app, self._app.job, "", 0
        late, self._late = self._late, []
        acts, self._shop_acts = self._shop_acts, []
        if job is not None:
            held = job.holding
            for act in late:
                try:
                    job.make(act(job.record, job.last or app.now()))
                except CrewdeskError as error:
                    why, lost = str(error), lost + (not held)
            if job.waiting:
                try:
                    job.save()
                except (NotSaved, Damaged) as error:
                    why = str(error)
            lost += len(job.waiting)
        self._clock_taken = True
        for shop_act in acts:
            try:
                last, now = app.desk.shop.last_change(), app.now()
                at = last if last is not None and doubtful(now, last) else now
                app.desk.shop.make(shop_act, at)
            except CrewdeskError as error:
                why, lost = str(error), lost + 1
        if not lost:
            return ""
        changes = "1 change was" if lost == 1 else f"{lost} changes were"
        return f"The program was ended, and {changes} lost. {why}"

    def before_leaving(self, then: Callable[[], None]) -> None:
        """Call `then` if all is saved; otherwise say so, and ask what to do."""
        from crewdesk.screens.parts.ask import choose

        if self.asking:
            return
        wrong = self._try() if self.count else ""
        if not self.count:
            then()
            return
        count = self.count
        words = [change.what for change in (self._app.job.waiting if self._app.job else ())]
        words += ["of the shop"] * len(self._shop_acts) + ["held up by the clock"] * len(self._late)
        shown = "; ".join(words[-8:])
        ways = [("again", "Try again")]
        if self._app.job is not None and self._app.job.waiting:
            ways.append(("copy", "Write the job, with them, to another file"))
        if self._clock_stops():
            ways.append(("take", "Save with the time that this computer's clock says"))
        ways.append(("go", f"Leave without {'it' if count == 1 else 'them'}: lost then"))

        def chosen(way: str = "") -> None:
            self.asking = False
            if way in ("again", "take"):
                self._clock_taken = self._clock_taken or way == "take"
                self.before_leaving(then)
            elif way == "copy":
                self._copy()
            elif way == "go":
                self._shop_acts, self._late = [], []
                then()

        self.asking = True
        title = "1 change is not saved" if count == 1 else f"{count} changes are not saved"
        about = f"{wrong}\n\n{shown}."
        choose(self._app, title, ways, chosen, about=about, left=chosen)

    def _clock_stops(self) -> bool:
        """Return whether the computer's clock prevents a pending change."""
        if self._late:
            return True
        try:
            last = self._app.desk.shop.last_change() if self._shop_acts else None
        except CrewdeskError:
            return False
        return bool(self._clock_wrong(self._app.now(), last))

    def _copy(self) -> None:
        from crewdesk.job.sync.exchange import to_document
        from crewdesk.paper.job_document import document_text
        from crewdesk.screens.parts.paper import ask_save

        job = self._app.job
        assert job is not None

        def document() -> bytes:
            try:
                history = job.history()
            except Damaged:
                history = []
            return document_text(to_document(job.record.tables, history)).encode("ascii")

        ask_save(self._app, "A copy of the job elsewhere", f"{job.id}.json", {".json": document})

    # Changes from elsewhere

    def look(self) -> None:
        """Called each second: merge and show others' changes of the open job."""
        app = self._app
        if self.asking:
            return
        self._tell_damage(app.desk.shop.trouble)
        self._look_at_job()
        self._look_at_shop()

    def _look_at_shop(self) -> None:
        """Show others' changes of the business's record, and which documents got new numbers."""
        app, shop = self._app, self._app.desk.shop
        page = front(app)
        if shop.changed():
            with suppress(CrewdeskError):
                shop.record()
            if page is not None and page.SHOWS_BOOKS and page.is_mounted:
                page.record_changed(frozenset())
        if shop.news:
            more = len(shop.news) - 1
            also = f" {more} more changed; the accounts list them." if more else ""
            app.tell(f"{shop.news[0]}{also}", "wrong")
            with suppress(CrewdeskError):
                shop.take_in(app.now())
            shop.forget_news()

    def _look_at_job(self) -> None:
        """Merge and show others' changes of the open job."""
        app = self._app
        if app.job is None:
            return
        cuts = self._cuts.keys()
        try:
            app.job.look()
        except Damaged as damaged:
            self._tell_damage(str(damaged))
            return
        if told := self.came():
            self._cuts.look(app.job.cuts_before(cuts))
            app.tell(f"{told} {self._cuts.told}".strip(), "wrong" if self._cuts.told else "")

    def _tell_damage(self, trouble: str) -> None:
        """Show what can't be read, once."""
        if trouble and trouble != self._told_damage:
            self._told_damage = trouble
            self._app.tell(trouble, "wrong")

    def came(self) -> str:
        """Show merged changes; return the message, or "" if there were none."""
        job = self._app.job
        if job is None or not (job.came or job.news):
            return ""
        came, rows = job.came[:], frozenset(job.news)
        job.came.clear()
        job.news.clear()
        self._app.show_rows(rows)
        known, apart = self._apart, unsettled(job.record)
        self._apart = frozenset(one.row for one in apart)
        if new := [one for one in apart if one.row not in known]:
            key = self._key(_TWICE)
            return f"Changed in two places: {new[-1].what}.  Both are kept. Press {key} to choose."
        if not came:
            return ""
        if len(came) == 1:
            return f"Changed on another computer: {came[0].what}."
        return f"{len(came)} changes came in from another computer, the last: {came[-1].what}."

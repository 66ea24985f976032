"""An app with a desk, one open job, and pages that show it."""

from collections.abc import Callable
from datetime import UTC, date, datetime, tzinfo
from typing import TYPE_CHECKING, Any

from textual.binding import Binding

from crewdesk.errors import CrewdeskError
from crewdesk.job.books.shop import Shop
from crewdesk.job.books.shop_record import ShopRecord
from crewdesk.job.record import Record
from crewdesk.job.time.clock import fixed
from crewdesk.job.time.today import at_business, today
from crewdesk.length import DEFAULT_STEP, Step
from crewdesk.screens.key_by_key import KeyByKeyApp
from crewdesk.screens.parts.actions import key_of, key_words
from crewdesk.screens.parts.own_keys import FILE, read_own_keys
from crewdesk.screens.parts.page import Page, front
from crewdesk.screens.parts.program import ChangedRows
from crewdesk.screens.router import QUESTIONS, found
from crewdesk.store.desk import Desk
from crewdesk.store.folder import Listed
from crewdesk.store.job_file import JobFile

if TYPE_CHECKING:
    from crewdesk.job.books.job_books import JobBooks


class DeskApp(KeyByKeyApp):
    """The open job, the time, the keys, and messages on the pages."""

    def __init__(self, desk: Desk, clock: Callable[[], datetime], platform: str) -> None:
        self.own_keys = read_own_keys(desk.folder / FILE)
        super().__init__()
        self.set_keymap(self.own_keys.keymap)
        self.desk = self.own_desk = desk
        self.clock, self.platform = clock, platform
        self.last_told = ""
        self._job: JobFile | None = None
        self._record: Record | None = None
        self._listed: tuple[Listed, ...] | None = None

    def now(self) -> datetime:
        """Return the time to the second on the business's clocks, at a fixed offset, so that
        times can be compared and subtracted."""
        return fixed(at_business(self.clock(), self.desk.shop.zone())).replace(microsecond=0)

    @property
    def zone(self) -> tzinfo:
        """The business's time zone; the computer's if none is set."""
        return self.desk.shop.zone() or self.clock().tzinfo or UTC

    @property
    def today(self) -> date:
        """The day that it is for the business."""
        return today(self.now(), self.zone)

    @property
    def books_day(self) -> date:
        """The day that the books go by; raises `Damaged`."""
        return self.desk.shop.record().books_day(self.now())

    @property
    def job(self) -> JobFile | None:
        """The job that is open."""
        return self._job

    @job.setter
    def job(self, job: JobFile | None) -> None:
        self._job = job
        if job is not None:
            self._record = job.record

    @property
    def shown_step(self) -> Step:
        """The step of lengths in a message: the open job's."""
        return self._job.record.job.step if self._job else DEFAULT_STEP

    @property
    def shop(self) -> Shop:
        """The business settings."""
        return self.desk.shop.shop()

    @property
    def books(self) -> ShopRecord:
        """The record of the shop."""
        return self.desk.shop.record()

    @property
    def record(self) -> Record:
        """The record of the open job, or of the last one: a closing screen may still read it."""
        assert self._record is not None
        return self._record

    def job_books(self) -> "JobBooks":
        """Return the open job's books as of now; raises `NotAllowed`."""
        assert self.job is not None
        from crewdesk.store.books import job_books

        return job_books(self.desk, self.job.id, self.job.record, self.now())

    def list_jobs(self) -> tuple[Listed, ...]:
        """Return every job, the last changed first; raises `NotAllowed`."""
        listed = sorted(self.desk.jobs(), key=lambda one: one.name.casefold())
        listed.sort(key=lambda one: one.changed, reverse=True)
        self._listed = tuple(listed)
        return self._listed

    @property
    def listed(self) -> tuple[Listed, ...]:
        """The jobs as last listed."""
        try:
            return self.list_jobs() if self._listed is None else self._listed
        except CrewdeskError:
            return ()

    def key(self, id_: str) -> str:
        """Return the key of an action (see `crewdesk.screens.parts.actions`) that works on this
        system, as Textual names it: `ctrl+z`."""
        return key_of(id_, self.own_keys.keymap, self.platform)

    def get_key_display(self, binding: Binding) -> str:
        """Return a key's name for the footer and help."""
        return key_words(binding.key)

    def open(
        self, page: str, *args: Any, callback: Callable[[Any], Any] | None = None, **kwargs: Any
    ) -> None:
        """Open a page or a question by its name over what is in front, unless it is there already;
        `callback` gets a sheet's result."""
        if page in QUESTIONS:
            found(page)(self, *args, **kwargs)
        elif getattr(self.screen, "AREA", "") != page or args:
            self.push_screen(found(page)(*args, **kwargs), callback)

    @property
    def pages(self) -> list[Page]:
        """The pages that are open, the one in front last."""
        return [one for one in self.screen_stack if isinstance(one, Page) and one.is_mounted]

    def look_at_signs(self) -> None:
        """Show in the top line whether something is pending."""
        for page in self.pages:
            page.look_at_sign()

    def look_at_jobs(self) -> None:
        """List the jobs again, where their list is open."""
        for page in self.pages:
            if page.LISTS_JOBS:
                page.record_changed(frozenset())

    def show_all(self) -> None:
        """Show the job as it is, on every page about it."""
        self.show_rows(frozenset())

    def show_rows(self, rows: ChangedRows) -> None:
        """Show rows that changed, on every page about the job."""
        for page in self.pages:
            if not page.LISTS_JOBS:
                page.record_changed(rows)
                page.look_at_sign()

    def tell(self, text: str, kind: str = "") -> None:
        """Show a message in the lowest line of the page in front."""
        self.last_told = text
        page = front(self)
        if page is not None and page.is_mounted:
            page.tell(text, kind)

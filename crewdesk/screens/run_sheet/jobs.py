"""The jobs: open one, start one."""

from collections.abc import Iterable
from decimal import Decimal
from functools import partial

from textual import on
from textual.content import Content
from textual.widget import Widget
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from crewdesk.errors import CrewdeskError
from crewdesk.job.job_row import BEGUN
from crewdesk.job.steps.outlook import Outlook, outlook
from crewdesk.screens.parts.inked import inked
from crewdesk.screens.parts.page import Page
from crewdesk.screens.parts.pick_list import PickList
from crewdesk.screens.parts.program import ChangedRows
from crewdesk.screens.parts.stick import Part, ruled
from crewdesk.screens.run_sheet.job_rows import job_lines, stage_lines
from crewdesk.screens.run_sheet.put_away import (
    ask_removed_back,
    ask_to_remove,
    hidden_told,
    put_away_or_back,
    removed_lines,
)
from crewdesk.store.desk import Desk
from crewdesk.store.folder import Listed
from crewdesk.store.put_away import RemovedJob, removed_jobs
from crewdesk.trade.books.accounts import JobOwed

_NONE_YET = (
    "Press {new-job} to start your first job.",
    "Press {sample-job} to look around in a sample job.",
    "Run crewdesk import FILE.json to add an exported one.",
)
_BEAM = (
    ((" ╱╱╱╱╱╱╱╱╱╱╱╱╱╱╱╱╱╱╱╱╱╱╱╱╱╱╱╱", "muted"), ("  ceiling", "muted")),
    (("    ███              ███", "board"),),
    (("    ███              ███  ", "board"), ("──  ", "dimension"), ("sides A and B", "strong")),
    (("    ███              ███      ", "board"), ("scribed to the ceiling", "muted")),
    (
        ("    ███", "board"),
        ("▒▒▒▒      ▒▒▒▒", "wall"),
        ("███  ", "board"),
        ("──  ", "dimension"),
        ("cleats", "strong"),
        ("  inside the sides", "muted"),
    ),
    (
        ("    ███", "board"),
        ("▓▓▓▓▓▓▓▓▓▓▓▓▓▓", "head"),
        ("███  ", "board"),
        ("──  ", "dimension"),
        ("bottom", "strong"),
        ("  between the sides", "muted"),
    ),
    (
        ("    ███              ███  ", "board"),
        ("┤   ", "dimension"),
        ("reveal", "strong"),
        ("  sides hang below it", "muted"),
    ),
    (("   side A          side B", "muted"),),
)
"""A beam's section, with its pieces' names."""
_DECORATION = " The beam is decoration. It carries nothing but itself."
_LOOKED_INTO = 24
"""The most jobs, the latest changed, that are read for their next step."""
_JOB_ROWS = 4


class JobsPage(Page):
    """Every job in the data folder: its progress, its next step, the amount owed."""

    WHERE = "Jobs"
    LISTS_JOBS = True
    AREA = "jobs"
    DEFAULT_CSS = """
    JobsPage OptionList { height: 1fr; padding: 0; background: $background; }
    JobsPage OptionList, JobsPage OptionList:focus { border: none; }
    JobsPage #none { padding: 0 1; height: 1fr; text-wrap: nowrap; text-overflow: ellipsis; }
    JobsPage #by-stage { height: 1fr; padding: 0 1; text-wrap: nowrap;
                         text-overflow: ellipsis; display: none; }
    """

    def __init__(self) -> None:
        super().__init__()
        self._listed: dict[str, Listed] = {}
        self._outlooks: dict[str, tuple[tuple[object, ...], Outlook]] = {}
        self._owed: dict[str, JobOwed] = {}
        self._unbilled: dict[str, Decimal] = {}
        self._books: object = None
        self._bright = ""
        self._shows_put_away = False
        self._hidden = 0
        self._removed: dict[str, RemovedJob] = {}

    def body(self) -> Iterable[Widget]:
        yield PickList(markup=False)
        yield Static(id="by-stage", markup=False)
        yield Static(id="none", markup=False)

    def to_do(self) -> str:
        if not self.program.desk.ids():
            return self.with_keys(
                "Press {new-job} and name your first job. Then add its beams, and measure."
            )
        return self.with_keys(
            "Press {open} to open the job under the cursor, or {new-job} to start "
            "another. {everywhere.clock} shows the running clock."
        )

    def on_mount(self) -> None:
        """Ask the first questions at the very first start."""
        if self.program.desk.untouched:
            from crewdesk.screens.run_sheet.new_job import ask_first

            ask_first(self.program)

    def on_screen_resume(self) -> None:
        """Show the user's own jobs again after the sample job."""
        if self.program.job is None:
            self.program.leave_sample()
        super().on_screen_resume()

    def record_changed(self, rows: ChangedRows) -> None:
        """List the jobs again when the page is shown; their next steps are read a moment later."""
        if rows:
            return
        try:
            listed = self.program.list_jobs()
        except CrewdeskError as refused:
            self.tell(str(refused), "wrong")
            return
        shown = tuple(one for one in listed if self._shows_put_away or not one.put_away)
        self._listed = {one.id: one for one in shown}
        self._hidden = len(listed) - len(shown)
        removed = removed_jobs(self.program.desk) if self._shows_put_away else ()
        self._removed = {f"removed/{one.folder}": one for one in removed}
        options = self.query_one(OptionList)
        place = options.highlighted
        count = len(shown) + len(removed)
        options.display = bool(count or self._hidden)
        none = self.query_one("#none", Static)
        none.display = not options.display
        self._show()
        if count:
            options.highlighted = min(place or 0, count - 1)
            options.focus()
            self.call_after_refresh(self._look_on, shown)
        elif not self._hidden:
            none.update(self._none_yet())

    def _none_yet(self) -> Content:
        width = max(self.size.width - 4, 30)
        lines: list[list[Part]] = [[("No jobs yet.", "strong")]]
        lines += [[(f"  {self.with_keys(one)}", "text")] for one in _NONE_YET]
        lines += [[], ruled("A box beam, seen from its end", width)]
        lines += [list(one) for one in _BEAM]
        return inked([*lines, [], [(_DECORATION, "text")]])

    def _show(self) -> None:
        options = self.query_one(OptionList)
        place, self._bright = options.highlighted, self._here
        options.clear_options()
        width = max(self.size.width - 2, 40)
        options.add_options(
            [Option(self._row(one, width), id=one.id) for one in self._listed.values()]
        )
        options.add_options(
            [Option(inked(removed_lines(one)), id=id_) for id_, one in self._removed.items()]
        )
        if self._hidden:
            hidden = self.with_keys(hidden_told(self._hidden))
            options.add_option(Option(inked([[(hidden, "muted")]]), disabled=True))
        options.highlighted = place
        self._show_stages()

    @on(OptionList.OptionHighlighted)
    def _show_stages(self) -> None:
        """Show the stages of the job below the list, if there is room."""
        options, panel = self.query_one(OptionList), self.query_one("#by-stage", Static)
        at = options.highlighted
        if self._here != self._bright:
            before, self._bright = self._bright, self._here
            for id_ in {before, self._bright} & set(self._listed):
                row = self._row(self._listed[id_], max(self.size.width - 2, 40))
                options.replace_option_prompt(id_, row)
        shown = list(self._listed.values())
        one = shown[at] if at is not None and at < len(shown) else None
        _, seen = self._outlooks.get(one.id if one else "", ((), None))
        lines = stage_lines(one.name, seen, self.size.width - 2) if one and seen else []
        room = self.size.height - 4 - _JOB_ROWS * (len(shown) + len(self._removed))
        panel.display = 0 < len(lines) <= room
        options.styles.height = "auto" if panel.display else "1fr"
        if panel.display:
            panel.update(inked(lines))

    def _row(self, one: Listed, width: int) -> Content:
        _, seen = self._outlooks.get(one.id, ((), None))
        owed = self._owed.get(str(one.summary.get(BEGUN, "")) or one.id)
        money = owed, self._unbilled.get(one.id)
        return inked(job_lines(one, seen, money, width, here=one.id == self._bright))

    # What comes next in the jobs, and what is owed

    def _look_on(self, listed: tuple[Listed, ...]) -> None:
        ids = [one.id for one in listed[:_LOOKED_INTO] if not one.trouble]
        look = partial(self._look_into, self.program.desk, ids)
        self.run_worker(look, thread=True, exclusive=True, group="outlook")
        self._look_at_owed()

    def _look_at_owed(self) -> None:
        from crewdesk.trade.books.accounts import owed_by_job, standings

        try:
            books = self.program.books
            found = standings(books.trail, books.payments, self.program.books_day)
        except CrewdeskError:
            return
        if (owing := owed_by_job(found)) != self._owed:
            self._owed = owing
            self._show()

    def _look_into(self, desk: Desk, ids: list[str]) -> None:
        """Read changed jobs in a thread; show their next steps."""
        from crewdesk.job.books.contract import unbilled
        from crewdesk.store.books import job_books

        found, now = {}, self.program.now()
        try:
            books = desk.shop.record()
        except (CrewdeskError, OSError):
            return  # a question about it is asked elsewhere
        known, self._books = books is self._books, books
        for id_ in ids:
            if not self.is_attached:
                return
            try:
                stamps = desk.stamps(id_)
                if not known or self._outlooks.get(id_, ((),))[0] != stamps:
                    record = desk.open(id_, writing=False).record
                    found[id_] = stamps, outlook(record)
                    self._unbilled[id_] = unbilled(job_books(desk, id_, record, now))
            except (CrewdeskError, OSError):
                continue
        if found and self.is_attached:
            self.app.call_from_thread(self._looked_into, found)

    def _looked_into(self, found: dict[str, tuple[tuple[object, ...], Outlook]]) -> None:
        self._outlooks |= found
        if self.is_attached and self.query(OptionList):
            self._show()

    @on(OptionList.OptionSelected)
    def chosen(self, event: OptionList.OptionSelected) -> None:
        """Open the job, or ask about one that can't be read."""
        from crewdesk.screens.run_sheet.trouble import ask_trouble

        id_ = event.option_id or ""
        if id_ in self._removed:
            ask_removed_back(self.program, self._removed[id_])
        elif self._listed[id_].trouble:
            ask_trouble(self.program, id_, self._listed[id_].trouble)
        else:
            self.program.open_job(id_)

    @property
    def _here(self) -> str:
        """Return the line under the cursor: a job's id, or a removed one's; "" for none."""
        options = self.query_one(OptionList)
        place = options.highlighted
        return "" if place is None else options.get_option_at_index(place).id or ""

    def action_put_away(self) -> None:
        here = self._here
        if here in self._removed:
            ask_removed_back(self.program, self._removed[here])
        elif here:
            put_away_or_back(self.program, self._listed[here])

    def action_remove_job(self) -> None:
        if (here := self._here) in self._listed:
            ask_to_remove(self.program, self._listed[here])

    def action_show_put_away(self) -> None:
        self._shows_put_away = not self._shows_put_away
        self.record_changed(frozenset())

    def action_open(self) -> None:
        self.query_one(OptionList).action_select()

    def action_sample(self) -> None:
        self.program.visit_sample()

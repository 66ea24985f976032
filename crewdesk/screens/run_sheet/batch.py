"""A batch: the ready pieces of one operation, grouped by machine setting."""

from collections.abc import Iterable, Sequence
from textwrap import wrap

from rich.style import Style
from rich.text import Text
from textual import on
from textual.containers import Horizontal
from textual.events import Resize
from textual.widget import Widget
from textual.widgets import Static

from crewdesk.job.cuts.batches import BatchSettings, Group, batch_settings
from crewdesk.job.steps.run_sheet import Batch, RunSheet
from crewdesk.job.steps.ticks import Spot, tick_all
from crewdesk.paper.plain import plain
from crewdesk.paper.text.settings_text import (
    Shown,
    group_figures,
    notes_told,
    said_once,
    settings_explained,
)
from crewdesk.screens.parts.figure import Figure
from crewdesk.screens.parts.lines import Lines, Row
from crewdesk.screens.parts.page import Page
from crewdesk.screens.parts.program import ChangedRows
from crewdesk.screens.parts.stick import Part, ruled, stick
from crewdesk.screens.run_sheet.batch_rows import (
    StageCautions,
    board_rows,
    boards_rule,
    first_to_do,
    group_row,
    key_of,
    longest_of,
    other_rows,
    still_fits,
    title_of,
)
from crewdesk.screens.run_sheet.saw_drawing import SawDrawing
from crewdesk.screens.run_sheet.setting import Setting, across, ordered
from crewdesk.sentence import many

_HIGH, _ROOMY = 24, 32
"""The rows from which figures can be twice as large, and the drawing is higher."""
_DRAWING = 25
"""The least columns for a drawing."""
_STICK = 24
"""Columns of the batch's stick at most."""


class BatchPage(Page):
    """The groups of a batch: the setting of the one under the cursor large, with its boards; the
    others a line each. Enter checks off the group under the cursor.

    Where pieces take several cuts they are listed under each, and checked off under their last.
    What is checked off while the page is open stays in its group, done.
    """

    AREA = "batch"
    WHERE = "{job} \u00b7 batch"
    DEFAULT_CSS = """
    BatchPage #over { height: 2; text-wrap: nowrap; text-overflow: ellipsis; }
    BatchPage #band { height: auto; }
    BatchPage #notes { height: auto; padding: 0 1; }
    BatchPage SawDrawing { height: 7; min-width: 0; }
    BatchPage.-high Setting { height: 7; }
    BatchPage.-high Setting BigFigures, BatchPage.-high Setting .word { height: 5; }
    """

    def __init__(self, sheet: RunSheet, batch: Batch) -> None:
        super().__init__()
        self._sheet = sheet
        self._batch = batch
        self._opened: tuple[Group, ...] = ()
        self._settings: BatchSettings | None = None
        self._left_out: set[Spot] = set()
        self._of: dict[str, tuple[int, Spot]] = {}
        self._listed: list[Row] = []
        self._shown = -1

    def body(self) -> Iterable[Widget]:
        yield Static(id="over", markup=False)
        with Horizontal(id="band"):
            yield Setting()
            yield SawDrawing()
        yield Static(id="notes", markup=False)
        yield Lines()

    def on_mount(self) -> None:
        """Begin on the first board."""
        self._cautions = StageCautions(self.program, self._batch.stage.id)
        self.query_one(Lines).focus()

    def record_changed(self, rows: ChangedRows) -> None:
        """Compute the settings again for the boards that are ready now."""
        step = self._batch.step
        sheet = RunSheet(self.program.record)
        found = [one for one in sheet.batches() if one.step.id == step.id]
        if not rows and self._settings is None and self._batch.spots:
            now = self._batch  # as it was opened with
        else:
            now = found[0] if found else self._batch._replace(spots=())
        self._sheet, self._batch = sheet, now
        self._left_out &= set(now.spots)
        machine = self.program.shop.machine
        self._settings = batch_settings(sheet.record, step.id, now.spots, machine)
        if not still_fits(self._opened, self._settings.groups, set(now.spots)):
            self._opened = self._settings.groups
        self.show()

    @on(Resize)
    def resized(self) -> None:
        """Fit it to the new size."""
        if self._settings is not None:
            self.call_after_refresh(self.show)

    @property
    def _high(self) -> bool:
        """Whether there is room for tall figures."""
        return self.size.height >= _HIGH

    @property
    def _at(self) -> int:
        """The place of the group under the cursor."""
        return self._of.get(self.query_one(Lines).key, (self._first, None))[0]

    @property
    def _first(self) -> int:
        """The place of the first group with something to do."""
        return first_to_do(self._opened, set(self._batch.spots))

    @on(Lines.Moved)
    def _moved(self) -> None:
        """Show the group under the cursor, where it is another one."""
        if self._at != self._shown:
            self.show()

    def show(self) -> None:
        """Show the group under the cursor large, and the others a line each."""
        if self._settings is None or not self._opened:
            self.query_one(Lines).show([Row((" Every board is checked off.", "made"))])
            return
        at = self._shown = self._at
        lines = self.query_one(Lines)
        shown = self._shown_groups()
        notes = self._notes(shown, at)
        room = 4 if not self._high else 6 if self.size.height < _ROOMY else 10
        over = next((n for n in range(len(notes) + 1) if sum(map(len, notes[:n])) > room), 0)
        above = notes[: max(over - 1, 1)] if over else notes
        below = [line for one in notes[len(above) :] for line in one]
        self._listed = self._rows(shown, at, below)
        lines.show(self._listed)
        words = self.query_one("#notes", Static)
        words.display = bool(above)
        text = Text(no_wrap=True, overflow="ellipsis")
        for at_line, (line, ink) in enumerate(line for one in above for line in one):
            text.append(("\n" if at_line else "") + line, self._ink(ink))
        words.update(text)
        self.query_one("#over", Static).update(self._over(shown, at))
        self.call_next(self._set, shown[at].group)

    async def _set(self, group: Group) -> None:
        """Show a group's figures and its drawing."""
        if not self.is_attached:
            return
        step = self._sheet.record.job.step
        figures = ordered([Figure(*one) for one in group_figures(group, step)])
        band, drawing = self.query_one("#band"), self.query_one(SawDrawing)
        band.display = bool(figures)
        setting = self.query_one(Setting)
        wide = across(figures, 1) + _DRAWING <= self.size.width
        drawing.display = group.lies is not None and wide
        room = self.size.width - (_DRAWING if drawing.display else 0)
        self.set_class(self._high, "-high")
        await setting.lay_out(figures, room if self._high else 0)
        measures = [one.value for one in figures if one.note.startswith(("in", "mm"))]
        drawing.styles.height = 9 if self.size.height >= _ROOMY else 7 if self._high else 6
        drawing.show(group, measures[-1] if measures else "")
        self.call_after_refresh(self._fill)

    def _shown_groups(self) -> list[Shown]:
        """Return the groups as at opening, with current notes for those still to do."""
        assert self._settings is not None
        ready = set(self._batch.spots)
        of_all = self._settings._replace(groups=self._opened)
        now = iter(self._settings.groups)
        fresh = [next(now, one) if ready & set(one.spots) else one for one in self._opened]
        _, shown = said_once(of_all._replace(groups=tuple(fresh)))
        return [
            one._replace(group=one.group._replace(spots=opened.spots))
            for one, opened in zip(shown, self._opened, strict=True)
        ]

    def _notes(self, shown: Sequence[Shown], at: int) -> list[list[Part]]:
        """Return a group's notes: how its boards lie, what applies to all groups, cautions, then
        the meaning of signs."""
        assert self._settings is not None
        machine, group = self.program.shop.machine, shown[at].group
        of_cut = next((one.notes for one in reversed(shown[: at + 1]) if one.cut), shown[0].notes)
        for_all, _ = said_once(self._settings._replace(groups=self._opened))
        explained = settings_explained(self._settings, machine, self.with_keys("{everywhere.shop}"))
        text = [f"! {group.why}"] if group.why else []
        text += [*notes_told(group._replace(placed="")), *of_cut, *for_all]
        text.sort(key=lambda one: one.startswith("!") and one != f"! {group.why}")
        width = max(self.size.width - 2, 20)
        lines = [
            [(line, "wrong" if one.startswith("!") else "text") for line in wrap(plain(one), width)]
            for one in text
        ]
        lines.append([(line, "muted") for line in wrap(plain(explained), width)])
        return [one for one in lines if one]

    def _over(self, shown: Sequence[Shown], at: int) -> Text:
        """Return the batch's name and progress, above the rule with the group's name."""
        every = list(dict.fromkeys(spot for one in self._opened for spot in one.spots))
        done = len(every) - len(self._batch.spots)
        settings = self._settings
        width = self.size.width
        title = plain(f" {self._batch.stage.name}: {self._batch.step.name}")
        count = f" {done} of {many(len(every), 'board')} "
        room = min(_STICK, width - len(title) - len(count) - 2)
        text = Text(no_wrap=True, overflow="ellipsis")
        parts: list[Part] = [(title, "strong"), ("  ", "text")]
        parts += stick(done, len(every), len(every), room) if room > 5 else []
        parts += [(count, "text")]
        if settings and settings.beam_by_beam > settings.times_set:
            saved = f" set {settings.times_set} times, not {settings.beam_by_beam}"
            taken = sum(len(one) for one, _ in parts)
            parts += [(saved, "muted")] if taken + len(saved) <= width else []
        for one, ink in parts:
            text.append(one, self._ink(ink))
        text.append("\n")
        for one, ink in ruled(title_of(shown, at), width):
            text.append(one, self._ink(ink))
        return text

    def _ink(self, name: str) -> Style:
        """Return an ink of `Lines` as a style, for a text outside of them."""
        return self.query_one(Lines).style_of(f"lines--{name}")

    def _rows(self, shown: Sequence[Shown], at: int, notes: Sequence[Part]) -> list[Row]:
        """Return the boards of the group under the cursor, the others a line each."""
        rows: list[Row] = []
        self._of = {}
        for place, one in enumerate(shown):
            if place != at:
                rows.append(self._one_line(one, place, before=place < at))
                continue
            title = self._progress(one.group)
            rows.append(Row(*boards_rule(title, self.size.width - 1)))
            for spot in one.group.spots:
                rows += self._board(one.group, place, spot)
            rows += [Row((f" {line}", ink)) for line, ink in notes]
            if at + 1 < len(shown):
                rows.append(Row(*ruled("Then", self.size.width - 1)))
        return rows

    def _fill(self) -> None:
        """Fill the remaining rows below the groups: cautions, then other ready batches."""
        lines = self.query_one(Lines)
        rows = list(self._listed)
        width, room = self.size.width - 1, lines.size.height // lines.row_height - len(rows)
        rows += self._cautions.rows(self.with_keys("{cautions}"), room, width)
        room = lines.size.height // lines.row_height - len(rows) - 1
        if room > 0 and (others := other_rows(self._sheet, self._batch)[:room]):
            rows += [Row(*ruled("Ready, too", width)), *others]
        lines.show(rows)
        lines.show_rows(max(lines.at - 1, 0), lines.at)

    def _progress(self, group: Group) -> str:
        """Return how many of a group's boards are done, where it isn't the whole batch; how many
        are left out."""
        ready = set(self._batch.spots)
        done = sum(spot not in ready for spot in group.spots)
        text = "Boards"
        if len(self._opened) > 1:
            text = f"{done} of {many(len(group.spots), 'board')} done"
        out = sum(spot in self._left_out for spot in group.spots)
        if out:
            text += f", {out} left out"
        if group.spots and not group.finished and done < len(group.spots):
            last = " and ".join(map(str, self._last_groups(group)))
            text += f"; check off under setting {last}" if last else ""
        return text

    def _one_line(self, one: Shown, place: int, *, before: bool) -> Row:
        """Return a group that isn't under the cursor. The cursor comes to it by its nearest
        board."""
        spot = one.group.spots[-1 if before else 0]
        self._of[key_of(place, spot)] = (place, spot)
        done = not set(self._batch.spots) & set(one.group.spots)
        record, width = self._sheet.record, self.size.width
        return group_row(record, one, place, spot, done=done, width=width)

    def _board(self, group: Group, place: int, spot: Spot) -> Iterable[Row]:
        """Return a board with its length as a stick, then what is marked on it alone."""
        key = key_of(place, spot)
        self._of[key] = (place, spot)
        return board_rows(
            self._sheet.record,
            group,
            spot,
            key,
            ready=spot in self._batch.spots,
            left_out=spot in self._left_out,
            longest=longest_of(self._opened),
            width=self.size.width - 1,
        )

    @property
    def _here(self) -> tuple[Group, Spot] | None:
        """The group and board under the cursor, the group without what is done."""
        found = self._of.get(self.query_one(Lines).key)
        if found is None:
            return None
        place, spot = found
        return self._ready(self._opened[place]), spot

    def _ready(self, group: Group) -> Group:
        """Return a group without what is done."""
        ready = set(self._batch.spots)
        return group._replace(
            spots=tuple(one for one in group.spots if one in ready),
            finished=tuple(one for one in group.finished if one in ready),
        )

    @on(Lines.Chosen)
    def action_leave_out(self) -> None:
        if self._here is not None and self._here[1] in self._batch.spots:
            self._left_out ^= {self._here[1]}
            self.show()

    def action_tick_group(self) -> None:
        if self._here is None:
            return
        group, _ = self._here
        if group.finished:
            self._tick(group.finished)
        elif group.spots:
            last = self._last_groups(group)
            under = "setting" if len(last) == 1 else "settings"
            here = self._of[self.query_one(Lines).key][0]
            self._go_on(here)
            self.tell(
                "On to the next setting. These boards take another cut: check them off under "
                f"{under} {' and '.join(map(str, last))}."
            )

    def _last_groups(self, group: Group) -> list[int]:
        """Return the numbers of the groups under which a group's pieces are checked off."""
        return [
            number
            for number, other in enumerate(self._opened, 1)
            if set(other.finished) & set(group.spots)
        ]

    def action_tick_all(self) -> None:
        self._tick(self._batch.spots)

    def _tick(self, spots: tuple[Spot, ...]) -> None:
        kept = tuple(one for one in spots if one not in self._left_out)
        step, app, before = self._batch.step, self.program, self._at
        if not kept or not app.do(lambda record, now: tick_all(record, kept, step.id, now)):
            return
        if not set(self._batch.spots) - self._left_out:
            text = app.last_told
            app.pop_screen()
            app.tell(text, "saved")
        elif not set(self._ready(self._opened[before]).spots) - self._left_out:
            self._go_on(before)

    def _go_on(self, before: int) -> None:
        """Put the cursor on the next group with something to do."""
        places = [*range(before + 1, len(self._opened)), *range(before)]
        for place in places:
            every = self._ready(self._opened[place]).spots
            if left := [one for one in every if one not in self._left_out]:
                key = key_of(place, left[0])
                self._of[key] = (place, left[0])
                lines = self.query_one(Lines)
                lines.show([*lines.rows, Row(key=key)])
                lines.go_to(key)
                return

    def action_paper(self) -> None:
        from crewdesk.screens.parts.paper import ask_batch_paper

        kept = tuple(one for one in self._batch.spots if one not in self._left_out)
        ask_batch_paper(self.program, self._batch._replace(spots=kept))

    def action_cautions(self) -> None:
        self._cautions.were_seen()
        self.show_cautions(self._batch.stage.id)

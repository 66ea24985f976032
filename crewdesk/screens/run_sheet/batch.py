"""A batch: the ready pieces of one operation, grouped by how the machine is set."""

from collections.abc import Iterable, Sequence
from fractions import Fraction
from textwrap import wrap

from rich.style import Style
from rich.text import Text
from textual import on
from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.events import Resize
from textual.widget import Widget
from textual.widgets import Static

from crewdesk.job.cuts.batches import BatchSettings, Group, batch_settings
from crewdesk.job.steps.cautions import cautions
from crewdesk.job.steps.run_sheet import Batch, RunSheet
from crewdesk.job.steps.ticks import Spot, tick_all
from crewdesk.length import show_length
from crewdesk.paper.plain import plain
from crewdesk.paper.text.settings_text import (
    Shown,
    group_figures,
    group_told,
    notes_told,
    said_once,
    settings_explained,
)
from crewdesk.screens.parts.figure import Figure, SettingBlock, SettingBlocks, dots
from crewdesk.screens.parts.lines import Lines, Row
from crewdesk.screens.parts.page import Page
from crewdesk.screens.parts.program import ChangedRows
from crewdesk.screens.parts.stick import Part, ruled, stick
from crewdesk.screens.run_sheet.saw_drawing import SawDrawing
from crewdesk.sentence import many

_DONE, _NOW, _LATER, _LEFT_OUT = "\u25a0", "\u25a1", "\u00b7", "\u254c"
_HIGH, _ROOMY = 24, 32
"""Rows from which on figures can be twice as large; and the drawing is higher."""
_DRAWING = 25
"""The least columns for a drawing."""
_STICK, _GAP = 24, 4
"""Columns of the batch's stick at most, and between two figures where there is room."""


class Setting(SettingBlocks):
    """The figures of the group under the cursor; a word, as which face is down, is a line."""

    DEFAULT_CSS = """
    Setting { width: auto; height: 5; padding: 0 1; }
    """

    async def lay_out(self, figures: Sequence[Figure], room: int) -> None:
        """Show other figures, twice as large where they go into that many columns so. Where they
        don't go into the window, a word is left out: the notes say it, too."""
        if _across(figures, 1) > self.screen.size.width:
            figures = [one for one in figures if not one.value.isalpha()]
        if tuple(figures) != self.figures:
            self.figures = tuple(figures)
            await self.remove_children()
            await self.mount_all(
                SettingWord(one) if one.value.isalpha() else SettingBlock(one)
                for one in self.figures
            )
        twice = _across(self.figures, 2) <= room
        close = _across(self.figures, 1) > self.screen.size.width
        for block in self.query(SettingBlock):
            block.styles.width = _wide(block.figure, 1 + twice)
            block.styles.margin = (0, 2 if close else _GAP, 0, 0)


def _wide(figure: Figure, scale: int) -> int:
    """Return the columns of a figure whose dots are `scale` columns wide."""
    name, value, note = map(plain, figure)
    across = 0 if value.isalpha() else scale * len(dots(value)[0])
    return max(len(name), len(value), across, len(note))


def _across(figures: Sequence[Figure], scale: int) -> int:
    """Return the columns of figures side by side."""
    return sum(_wide(one, scale) + _GAP for one in figures) + 2


class SettingWord(SettingBlock):
    """A block whose figure is a word."""

    DEFAULT_CSS = """
    SettingWord > .word { color: $ready; text-style: bold; height: 3; width: 100%;
                          content-align: left middle; }
    """

    def compose(self) -> ComposeResult:
        name, value, note = map(plain, self.figure)
        yield Static(name, classes="name", markup=False)
        yield Static(value, classes="word", markup=False)
        if note:
            yield Static(note, classes="note", markup=False)


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
        self.query_one(Lines).focus()

    def record_changed(self, rows: ChangedRows) -> None:
        """Work the settings out again for the boards that are ready now."""
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
        if not self._still_fits(self._settings.groups):
            self._opened = self._settings.groups
        self.show()

    def _still_fits(self, groups: Sequence[Group]) -> bool:
        """Whether the groups are those that the page opened with, less what was done since."""
        ready = set(self._batch.spots)
        before = [
            (one.machine, one.setting, one.cut, left)
            for one in self._opened
            if (left := tuple(spot for spot in one.spots if spot in ready))
        ]
        return before == [(one.machine, one.setting, one.cut, one.spots) for one in groups]

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
        ready = set(self._batch.spots)
        places = (at for at, one in enumerate(self._opened) if ready & set(one.spots))
        return next(places, 0)

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
        told = self.query_one("#notes", Static)
        told.display = bool(above)
        text = Text(no_wrap=True, overflow="ellipsis")
        for at_line, (line, ink) in enumerate(line for one in above for line in one):
            text.append(("\n" if at_line else "") + line, self._ink(ink))
        told.update(text)
        self.query_one("#over", Static).update(self._over(shown, at))
        self.call_next(self._set, shown[at].group)

    async def _set(self, group: Group) -> None:
        """Show a group's figures and its drawing."""
        if not self.is_attached:
            return
        step = self._sheet.record.job.step
        figures = group_figures(group, step)
        band, drawing = self.query_one("#band"), self.query_one(SawDrawing)
        band.display = bool(figures)
        setting, made = self.query_one(Setting), [Figure(*one) for one in figures]
        drawing.display = group.lies is not None and _across(made, 1) + _DRAWING <= self.size.width
        room = self.size.width - (_DRAWING if drawing.display else 0)
        self.set_class(self._high, "-high")
        await setting.lay_out(made, room if self._high else 0)
        measures = [one.value for one in figures if one.note.startswith(("in", "mm"))]
        drawing.styles.height = 9 if self.size.height >= _ROOMY else 7 if self._high else 6
        drawing.show(group, measures[-1] if measures else "")
        self.call_after_refresh(self._fill)

    def _shown_groups(self) -> list[Shown]:
        """The groups as the page opened with them; of those that are still to be done what is
        said of them now."""
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
        """What is said of a group, each thing in its lines: how its boards lie, what is true of all
        groups, cautions, then what the figures take for granted."""
        assert self._settings is not None
        machine, group = self.program.shop.machine, shown[at].group
        of_cut = next((one.notes for one in reversed(shown[: at + 1]) if one.cut), shown[0].notes)
        for_all, _ = said_once(self._settings._replace(groups=self._opened))
        explained = settings_explained(self._settings, machine, self.with_keys("{everywhere.shop}"))
        told = [f"! {group.why}"] if group.why else []
        told += [*notes_told(group._replace(placed="")), *of_cut, *for_all]
        told.sort(key=lambda one: one.startswith("!") and one != f"! {group.why}")
        width = max(self.size.width - 2, 20)
        lines = [
            [(line, "wrong" if one.startswith("!") else "text") for line in wrap(plain(one), width)]
            for one in told
        ]
        lines.append([(line, "muted") for line in wrap(plain(explained), width)])
        return [one for one in lines if one]

    def _over(self, shown: Sequence[Shown], at: int) -> Text:
        """What the batch is and how far, over the rule with the group's name."""
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
        for one, ink in ruled(self._titled(shown, at), width):
            text.append(one, self._ink(ink))
        return text

    def _ink(self, name: str) -> Style:
        """An ink of `Lines` as a style, for a text outside of them."""
        return self.query_one(Lines).style_of(f"lines--{name}")

    def _titled(self, shown: Sequence[Shown], at: int) -> str:
        """A group's place, machine and cut."""
        group = shown[at].group
        title = next((one.cut for one in reversed(shown[: at + 1]) if one.cut), "")
        title = title if group.machine else ""
        place = f"Setting {at + 1} of {len(shown)}" if len(shown) > 1 else "Set"
        named = " \u00b7 ".join(plain(one) for one in (place, group.machine, title) if one)
        return named if group.machine else "No machine to set"

    def _rows(self, shown: Sequence[Shown], at: int, notes: Sequence[Part]) -> list[Row]:
        """The boards of the group under the cursor, the others a line each."""
        rows: list[Row] = []
        self._of = {}
        for place, one in enumerate(shown):
            if place != at:
                rows.append(self._one_line(one, place, before=place < at))
                continue
            rows.append(Row(*ruled(self._progress(one.group), self.size.width - 1)))
            for spot in one.group.spots:
                rows += self._board(one.group, place, spot)
            rows += [Row((f" {line}", ink)) for line, ink in notes]
            if at + 1 < len(shown):
                rows.append(Row(*ruled("Then", self.size.width - 1)))
        return rows

    def _fill(self) -> None:
        """Below the groups, in the rows that are left: cautions, then what else is ready."""
        lines = self.query_one(Lines)
        rows = list(self._listed)
        for title, things in (("Cautions", self._cautions()), ("Ready, too", self._others())):
            room = lines.size.height // lines.row_height - len(rows) - 1
            fit: list[Row] = []
            for one in things:
                if len(fit) + len(one) > room:
                    break
                fit += one
            if fit:
                rows += [Row(*ruled(title, self.size.width - 1)), *fit]
        lines.show(rows)
        lines.show_rows(max(lines.at - 1, 0), lines.at)

    def _cautions(self) -> Iterable[list[Row]]:
        """The cautions for the stage, each with its lines."""
        width = max(self.size.width - 4, 20)
        for one in cautions(self._batch.stage.id):
            told = wrap(plain(f"! {one.text}"), width, subsequent_indent="  ")
            yield [Row((f" {line}", "muted")) for line in told]

    def _others(self) -> Iterable[list[Row]]:
        """The other batches that are ready, each a line."""
        for other in self._sheet.batches():
            if other.step.id != self._batch.step.id:
                told = plain(f"{other.stage.name}: {other.step.name}")
                yield [Row((f" {len(other.spots):>3}  {told}", "muted"))]

    def _progress(self, group: Group) -> str:
        """How many of a group's boards are done."""
        ready = set(self._batch.spots)
        done = sum(spot not in ready for spot in group.spots)
        told = f"{done} of {many(len(group.spots), 'board')} done"
        out = sum(spot in self._left_out for spot in group.spots)
        if out:
            told += f", {out} left out"
        if group.spots and not group.finished and done < len(group.spots):
            last = " and ".join(map(str, self._last_groups(group)))
            told += f"; check off under setting {last}" if last else ""
        return told

    def _one_line(self, one: Shown, place: int, *, before: bool) -> Row:
        """A group that isn't under the cursor. The cursor comes to it by its nearest board."""
        group, ready = one.group, set(self._batch.spots)
        spot = group.spots[-1 if before else 0]
        key = self._key(place, spot)
        self._of[key] = (place, spot)
        done = not ready & set(group.spots)
        told = group.why or group_told(group, self._sheet.record.job.step) or group.cut
        told = told or "By hand"
        name = f"{one.cut}, {told}" if one.cut and group.machine else told
        sign = _DONE if done else _NOW if group.finished else _LATER
        count = f"  {many(len(group.spots), 'board')} "
        room = max(self.size.width - 9 - len(count), 8)
        name = plain(name)
        name = name if len(name) <= room else f"{name[: room - 1]}\u2026"
        return Row(
            (f" {sign} ", "made" if done else "muted"),
            (f"{place + 1:>2}  ", "muted"),
            (f"{name:<{room}}", "muted" if done else "text"),
            (count, "muted"),
            key=key,
        )

    def _board(self, group: Group, place: int, spot: Spot) -> Iterable[Row]:
        """A board with its length as a stick, then what is marked on it alone."""
        beam = self._sheet.record.beam(spot.beam)
        key = self._key(place, spot)
        self._of[key] = (place, spot)
        ready = spot in self._batch.spots
        left_out = spot in self._left_out
        sign = _LEFT_OUT if left_out else _NOW if spot in group.finished else _LATER
        sign = sign if ready else _DONE
        name = plain(f"{beam.label} \u00b7 {beam.piece(spot.piece).name}")
        width = self.size.width - 1
        wide = min(max(len(name), 22), max(width - 20, 12), 34)
        name = name if len(name) <= wide else f"{name[: wide - 1]}\u2026"
        longest = max((max(g.lengths.values(), default=0) for g in self._opened), default=0)
        length = group.lengths.get(spot)
        parts: list[Part] = []
        if length is not None:
            shown = show_length(length, self._sheet.record.job.step)
            room = min(width - wide - 18, 60)
            drawn = stick(length, None, Fraction(longest), room, ink="muted" if ready else "made")
            parts = [*drawn, (f" {shown:>11}", "strong" if ready else "muted")]
        state = "" if ready else "  done"
        state = "  left out" if left_out else state
        yield Row(
            (f" {sign} ", "muted" if ready else "made"),
            (f"{name:<{wide}} ", "muted" if left_out or not ready else "text"),
            *parts,
            (state, "muted"),
            key=key,
        )
        for line in wrap(plain(group.own.get(spot, "")), max(width - 6, 20)):
            yield Row((f"     {line}", "muted"))

    @staticmethod
    def _key(place: int, spot: Spot) -> str:
        return f"{place} {spot.beam} {spot.piece}"

    @property
    def _here(self) -> tuple[Group, Spot] | None:
        """The group and board under the cursor, the group without what is done."""
        found = self._of.get(self.query_one(Lines).key)
        if found is None:
            return None
        place, spot = found
        return self._ready(self._opened[place]), spot

    def _ready(self, group: Group) -> Group:
        """A group without what is done."""
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
            self.tell(
                "Nothing was checked off: these boards take another cut after this "
                f"one. Check them off under {under} {' and '.join(map(str, last))}.",
                "wrong",
            )

    def _last_groups(self, group: Group) -> list[int]:
        """The numbers of the groups under which a group's pieces are checked off."""
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
            told = app.last_told
            app.pop_screen()
            app.tell(told, "saved")
        elif not set(self._ready(self._opened[before]).spots) - self._left_out:
            self._go_on(before)

    def _go_on(self, before: int) -> None:
        """Put the cursor on the next group with something to do."""
        places = [*range(before + 1, len(self._opened)), *range(before)]
        for place in places:
            every = self._ready(self._opened[place]).spots
            if left := [one for one in every if one not in self._left_out]:
                key = self._key(place, left[0])
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
        self.show_cautions(self._batch.stage.id)

"""A batch: the ready pieces of one operation, grouped by how the machine is set."""

from collections.abc import Iterable

from rich.table import Table
from rich.text import Text
from textual import on
from textual.widget import Widget
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from crewdesk.job.cuts.batches import BatchSettings, Group, batch_settings
from crewdesk.job.steps.run_sheet import Batch, RunSheet
from crewdesk.job.steps.ticks import Spot, tick_all
from crewdesk.paper.plain import plain
from crewdesk.paper.text.settings_text import (
    Shown,
    group_told,
    notes_told,
    said_once,
    settings_explained,
)
from crewdesk.screens.parts.pick_list import PickList
from crewdesk.screens.parts.sheet import ListSheet
from crewdesk.sentence import many

_PASSES = "  □ checked off now, · later."


class BatchSheet(ListSheet[None]):
    """The groups of a batch, each with its setting; enter ticks the group under the bar.

    Where pieces take several cuts they are listed under each, and ticked under their last.
    """

    AREA = "batch"
    DEFAULT_CSS = """
    BatchSheet OptionList { max-height: 62vh; }
    BatchSheet OptionList > .option-list--option-disabled { color: $secondary; text-style: bold; }
    """
    KEYS = (
        "{tick-group}: check off group.  {tick-all}: check off all.  {leave-out}: "
        "leave one out.\n{paper}: print.  {cautions}: cautions.  {back}: back."
    )

    def __init__(self, sheet: RunSheet, batch: Batch) -> None:
        super().__init__()
        self._sheet = sheet
        self._batch = batch
        self._left_out: set[Spot] = set()
        self._rows: dict[str, tuple[Group, Spot]] = {}

    @property
    def asks(self) -> str:
        return f"{self._batch.stage.name}: {self._batch.step.name}"

    def body(self) -> Iterable[Widget]:
        yield PickList(markup=False)
        yield Static(id="counts", classes="about", markup=False)
        yield Static(id="why", classes="wrong", markup=False)

    def on_mount(self) -> None:
        """Show the groups."""
        self._show()

    @property
    def _settings(self) -> BatchSettings:
        machine = self.program.shop.machine
        return batch_settings(self._sheet.record, self._batch.step.id, self._batch.spots, machine)

    def _show(self) -> None:
        settings = self._settings
        options = self.query_one(OptionList)
        place = options.highlighted
        options.clear_options()
        self._rows = {}
        for_all, shown = said_once(settings)
        for number, one in enumerate(shown, 1):
            options.add_option(Option(self._head(one, number), disabled=True))
            group = settings.groups[number - 1]
            for spot in group.spots:
                id_ = f"piece-{number}-{spot.beam}-{spot.piece}"
                self._rows[id_] = (group, spot)
                options.add_option(Option(self._told(group, spot), id=id_))
        options.highlighted = min(place or 1, options.option_count - 1)
        options.focus()
        left = f"  {len(self._left_out)} left out." if self._left_out else ""
        saved = (
            f"Set {settings.times_set} times instead of {settings.beam_by_beam} beam by beam. "
            if settings.beam_by_beam > settings.times_set
            else ""
        )
        count = len(self._batch.spots)
        machine = self.program.shop.machine
        explained = settings_explained(settings, machine, self.with_keys("{everywhere.shop}"))
        counted = f"{many(count, 'piece')}. {saved}{left}".strip()
        lines = (counted, explained, *for_all)
        self.query_one("#counts", Static).update("\n".join(line for line in lines if line))
        keys = self.with_keys(self.KEYS + (_PASSES if settings.in_passes else ""))
        self.query_one("#keys", Static).update(keys)
        self._say("")

    def _say(self, why: str) -> None:
        """Say why nothing was ticked, above the keys."""
        line = self.query_one("#why", Static)
        line.update(why)
        line.display = bool(why)
        self.call_after_refresh(self.fit)

    def _head(self, one: Shown, number: int) -> Table:
        """A group's cut and setting, then its notes, each line under the first."""
        step, group = self._sheet.record.job.step, one.group
        first = f"! {group.why}" if group.why else group_told(group, step)
        lines = [Text(plain(one.cut))] if one.cut else []
        lines += [Text(plain(line), "not bold") for line in one.notes]
        lines += [Text(plain(first))] if first else []
        lines += [Text(plain(line), "not bold") for line in notes_told(group)]
        head = Table.grid(padding=(0, 2, 0, 0))
        head.add_row(str(number), Text("\n").join(lines))
        return head

    def _told(self, group: Group, spot: Spot) -> Text:
        beam = self._sheet.record.beam(spot.beam)
        sign = (
            "\u254c" if spot in self._left_out else "\u25a1" if spot in group.finished else "\u00b7"
        )
        gap = "\n" if self.program.large else ""
        name = plain(f"{beam.label} \u00b7 {beam.piece(spot.piece).name}")
        own = f"\n     {plain(group.own[spot])}" if spot in group.own else ""
        return Text(f"{gap}   {sign} {name}{own}{gap}")

    @property
    def _here(self) -> tuple[Group, Spot] | None:
        """The row under the bar."""
        options = self.query_one(OptionList)
        if options.highlighted is None:
            return None
        return self._rows.get(options.get_option_at_index(options.highlighted).id or "")

    @on(OptionList.OptionSelected)
    def action_leave_out(self) -> None:
        if self._here is not None:
            self._left_out ^= {self._here[1]}
            self._show()

    def action_tick_group(self) -> None:
        if self._here is None:
            return
        group, _ = self._here
        if group.finished:
            self._tick(group.finished)
        else:
            last = self._last_groups(group)
            under = "group" if len(last) == 1 else "groups"
            self._say(
                "Nothing was checked off: these boards take another cut after this "
                f"one. Check them off under {under} {' and '.join(map(str, last))}."
            )

    def _last_groups(self, group: Group) -> list[int]:
        """The numbers of the groups under which a group's pieces are ticked."""
        return [
            number
            for number, other in enumerate(self._settings.groups, 1)
            if set(other.finished) & set(group.spots)
        ]

    def action_tick_all(self) -> None:
        self._tick(self._batch.spots)

    def _tick(self, spots: tuple[Spot, ...]) -> None:
        kept = tuple(one for one in spots if one not in self._left_out)
        step = self._batch.step
        app = self.program
        if not kept or not app.do(lambda record, now: tick_all(record, kept, step.id, now)):
            return
        left = [one for one in self._sheet.batches() if one.step.id == step.id]
        if not left:
            self.dismiss()
            return
        self._batch = left[0]
        self._left_out &= set(self._batch.spots)
        if self._left_out == set(self._batch.spots):
            self.dismiss()
        else:
            self._show()

    def action_paper(self) -> None:
        from crewdesk.screens.parts.paper import ask_batch_paper

        kept = tuple(one for one in self._batch.spots if one not in self._left_out)
        ask_batch_paper(self.program, self._batch._replace(spots=kept))

    def action_cautions(self) -> None:
        self.show_cautions(self._batch.stage.id)

"""The run sheet: the job's pieces through its stages, and what is ready to batch."""

from collections.abc import Iterable
from typing import Any

from rich.text import Text
from textual import on
from textual.containers import Horizontal
from textual.events import Resize
from textual.widget import Widget
from textual.widgets import Static

from crewdesk.job.beams.beam import Beam
from crewdesk.job.beams.piece import Piece
from crewdesk.job.cuts.changed_cuts import held_cuts, rests_on
from crewdesk.job.cuts.open_cuts import none_waits, open_cuts
from crewdesk.job.steps.gates import closed
from crewdesk.job.steps.run_sheet import RunSheet
from crewdesk.job.steps.stages import Step
from crewdesk.job.steps.ticks import Spot
from crewdesk.length import Step as Shown
from crewdesk.paper.plain import plain
from crewdesk.screens.parts.lines import SIGNS, Beside
from crewdesk.screens.parts.page import Page
from crewdesk.screens.parts.program import ChangedRows
from crewdesk.screens.run_sheet.grid import HELD, RunGrid
from crewdesk.sentence import many

_KEY = (
    f"{SIGNS['done']} done  {SIGNS['ready']} ready  {SIGNS['not ready']} not yet  "
    f"{SIGNS['blocked']} blocked  {SIGNS['skipped']} skipped  * done early  2/5 done"
)
_KEY_OF_HELD = f"\n{HELD} cut to other figures than today's"
_WIDE = 118
_NOTHING_READY = "Nothing is ready to batch. Press {what-is-missing} to see what is missing."
_ALL_DONE = "Every step is done."
_ANSWER_WAITED = "A cut that changed waits for your answer. Press {changed-cut}."
_NO_BEAM = """
  No beams yet.

  {list-of-beams}  adds a list of them: Great room: 4 beams 16' 7-1/4x6
  {add-beam}  adds one with everything you know about it: name, room, walls, section.

  Then this page shows every piece, with the stages across. What is ready shows □; {tick}
  checks it off, {batch} the whole batch, {piece} opens the piece to enter its readings.
"""


_TRIED = ("cut-side", "cut-bottom", "fix-top")
"""Steps before which the board is tried in its room."""


class RunSheetPage(Page):
    """Pieces down, stages across; tick one or a whole batch."""

    AREA = "run-sheet"
    DEFAULT_CSS = """
    RunSheetPage #heads { height: 2; color: $primary; background: $surface;
                          text-wrap: nowrap; }
    RunSheetPage #here { height: 3; padding: 0 1; background: $surface; }
    RunSheetPage #signs { height: auto; max-height: 2; padding: 0 1; color: $muted; }
    RunSheetPage #no-beam { height: 1fr; }
    RunSheetPage #beside { display: none; }
    RunSheetPage.wide #beside { display: block; }
    """

    @property
    def where(self) -> str:
        record = self.program.record
        only = "  (read only)" if self.program.job and self.program.job.read_only else ""
        return f"{record.job.name}{only}"

    def body(self) -> Iterable[Widget]:
        self.sheet = RunSheet(self.program.record)
        yield Static(id="heads", markup=False)
        with Horizontal():
            yield RunGrid(self.sheet)
            yield Beside(id="beside")
        yield Static(self.with_keys(_NO_BEAM), id="no-beam", markup=False)
        yield Static(id="here", markup=False)
        yield Static(_KEY, id="signs", markup=False)

    def to_do(self) -> str:
        if not self.program.record.beams:
            return self.with_keys(
                "Press {list-of-beams} to jot the beams down, or {add-beam} to enter "
                "one with everything you know about it."
            )
        if cuts := len(open_cuts(self.program.record)):
            count = "1 cut waits" if cuts == 1 else f"{cuts} cuts wait"
            return self.with_keys(
                f"{count} for your answer: a reading, the section or a rule has changed "
                f"since. Press {{changed-cut}} to answer."
            )
        if not (batches := self.sheet.batches()):
            return self.with_keys(
                "Nothing is ready. Press {what-is-missing} to see what is missing over "
                "the whole job. Or put the cursor on a cell: the line below the grid "
                "says what that piece waits for."
            )
        first = batches[0]
        pieces = f"{len(first.spots)} pieces are" if len(first.spots) > 1 else "1 piece is"
        return f"Next in {first.stage.name}: {first.step.name}; {pieces} ready, " + self.with_keys(
            "{next-ready} goes there. {piece} opens a piece, for its readings and its cut."
        )

    @property
    def grid(self) -> RunGrid:
        """The grid."""
        return self.query_one(RunGrid)

    @property
    def stage_here(self) -> str:
        return self.grid.stage.id

    @property
    def spot(self) -> Spot | None:
        """The piece under the cursor."""
        return self.grid.spot

    def go_to(self, spot: Spot) -> None:
        self.grid.go_to(spot, self.stage_here)

    def on_mount(self) -> None:
        """Begin in the grid, on the first piece that something can be done on."""
        self.grid.focus()
        self.call_after_refresh(self._begin)

    def _begin(self) -> None:
        batches = self.sheet.batches()
        if batches:
            self.grid.go_to(batches[0].spots[0], batches[0].stage.id)

    def record_changed(self, rows: ChangedRows) -> None:
        """Show what changed."""
        self.grid.changed(rows)
        empty = not self.grid.lines
        self.grid.display = not empty
        self.query_one("#no-beam").display = empty
        self.query_one("#heads").display = not empty
        if not empty and self.focused is None:
            self.set_focus(self.grid)
        self.call_after_refresh(self._tell_heads)
        self._tell_here()

    @on(Resize)
    def resized(self) -> None:
        """Fit the heads to the columns; show the piece beside them where there is room."""
        self.set_class(self.size.width >= _WIDE, "wide")
        self.call_after_refresh(self._tell_heads)
        self.call_after_refresh(self._tell_here)

    def _tell_heads(self) -> None:
        total = self.sheet.total()
        ready: dict[str, int] = {}
        for one in self.sheet.batches():
            ready[one.stage.id] = ready.get(one.stage.id, 0) + len(one.spots)
        names, counts = self.grid.heads(
            {stage: f"{SIGNS['ready']} {count}" for stage, count in ready.items()},
            (f" {total.behind}/{total.steps} done", " ready:"),
        )
        if not ready:
            counts = f" {self.with_keys(self._nothing_ready())}"
        held = open_cuts(self.program.record)
        self.query_one("#signs", Static).update(f"{_KEY}{_KEY_OF_HELD if held else ''}")
        text = Text(names, style="bold", no_wrap=True)
        text.append(f"\n{counts}")
        self.query_one("#heads", Static).update(text, layout=False)

    def _nothing_ready(self) -> str:
        if not self.sheet.all_done:
            return _NOTHING_READY
        held = open_cuts(self.program.record)
        return f"{_ALL_DONE} {_ANSWER_WAITED}" if held else _ALL_DONE

    @on(RunGrid.Moved)
    def moved(self) -> None:
        """Tell of the cell where the cursor now stands."""
        self._tell_here()
        self.grid.show_cursor()

    def _tell_here(self) -> None:
        here = self.query_one("#here", Static)
        cell, spot = self.grid.cell, self.grid.spot
        if cell is None or spot is None:
            here.update("", layout=False)
            return
        record = self.program.record
        beam = record.beam(spot.beam)
        piece, stage = beam.piece(spot.piece), self.grid.stage
        text = Text(overflow="ellipsis")
        text.append(plain(f"{beam.label} · {piece.name} · {stage.name}"), style="bold")
        if told := self._held_here(beam, spot):
            text.append("\n" + plain(told))
        elif cell.state == "none":
            text.append("\nNothing to do here in this stage.")
        elif cell.next is None:
            one = "\nSkipped." if cell.state == "skipped" else "\nDone."
            text.append(f"\nAll {cell.steps} done." if cell.steps > 1 else one)
            for step in stage.steps:
                if (mark := piece.steps.get(step.id)) and (mark.override or mark.reason):
                    text.append(plain(f"  {step.name}: {mark.override or mark.reason}."))
        else:
            text.append(plain(f"   next: {cell.next.name}"))
            if cell.state == "blocked":
                text.append("\n" + plain(f"Blocked: {piece.steps[cell.next.id].reason}"))
            elif gate := closed(record.stages, beam, piece, cell.next):
                text.append("\n" + plain(gate))
            else:
                text.append(
                    self.with_keys(
                        "\nReady: press {tick} to check it off, {batch} for the whole batch."
                    )
                )
                text.append(_fit(beam, piece, cell.next, record.job.step))
        here.update(text, layout=False)
        if self.has_class("wide"):
            self._tell_beside(beam, piece)

    def _held_here(self, beam: Beam, spot: Spot) -> str:
        """What holds the step under the cursor, or which cut in its cell waits for an answer,
        with the key to answer; "" where nothing does."""
        stages, cell = self.program.record.stages, self.grid.cell
        assert cell is not None
        piece, here = beam.piece(spot.piece), [one.id for one in self.grid.stage.steps]
        for one in held_cuts(beam):
            of_cell = one.spot == spot and one.step_id in here
            if of_cell or (cell.next and rests_on(stages, beam, piece, cell.next, one)):
                return self.with_keys(f"{one.told} Press {{changed-cut}} to answer.")
        return ""

    def _tell_beside(self, beam: Beam, piece: Piece) -> None:
        """The marks of the piece under the cursor, and what is ready to batch."""
        from crewdesk.paper.text.cutlist import piece_lines

        machine = self.program.shop.machine
        marks = piece_lines(self.program.record, beam, piece, machine)
        ready = tuple(
            f"{one.stage.name}: {one.step.name}  {len(one.spots)}" for one in self.sheet.batches()
        )
        self.query_one(Beside).tell(
            [
                (plain(f"{beam.label} · {piece.name}"), True),
                *((line, False) for line in marks),
                ("", False),
                ("Ready to batch", True),
                *((plain(line), False) for line in ready or ("nothing",)),
            ]
        )

    # What the keys do

    def action_tick(self) -> None:
        from crewdesk.screens.piece.steps import tick_step

        if (on := self._step_here()) is None or tick_step(self.program, *on):
            return
        spot, step = on
        beam = self.program.record.beam(spot.beam)
        gate = closed(self.program.record.stages, beam, beam.piece(spot.piece), step)
        if self._held_here(beam, spot):
            told = "Not checked off: a cut changed, as shown above. Press {changed-cut} to answer."
            self.program.tell(self.with_keys(told), "wrong")
        elif gate is not None and gate == self.program.last_told:
            told = (
                "Not checked off: the reason is above. Press {pass-gate} to "
                "override, with a reason."
            )
            self.program.tell(self.with_keys(told), "wrong")

    def _step_here(self) -> tuple[Spot, Step] | None:
        spot, step = self.grid.spot, self.grid.step
        if spot is None or step is None:
            told = (
                "Nothing is left to check off here. Press {next-ready} to go to the "
                "next ready piece."
            )
            self.tell(self.with_keys(told), "wrong")
            return None
        return spot, step

    def needed(self, what: str) -> tuple[Any, ...] | None:
        if what == "step":
            return self._step_here()
        if what in ("ready", "lacking"):
            return self.sheet, what
        spot = self.grid.spot
        return None if spot is None else (spot,) if what == "piece" else (spot.beam,)

    def action_batch(self) -> None:
        from crewdesk.screens.parts.ask import choose

        every = self.sheet.batches()
        if not every:
            self.tell(self.with_keys(self._nothing_ready()), "wrong")
            return
        here = [one for one in every if one.stage.id == self.grid.stage.id] or every
        known = {one.step.id: one for one in here}

        def opened(way: str) -> None:
            self.program.open("batch", self.sheet, known[way])

        ways = [(one.step.id, f"{one.step.name}: {many(len(one.spots), 'piece')}") for one in here]
        if len(ways) == 1:
            opened(ways[0][0])
        else:
            choose(self.program, "Which batch?", ways[:9], opened)

    @on(RunGrid.Opened)
    def action_piece(self) -> None:
        if self.program.large:
            self.action_open_page("one-number", "piece")
        elif self.grid.spot is not None:
            self.program.open("piece", self.grid.spot)

    def action_next_ready(self) -> None:
        spots = [(spot, one.stage.id) for one in self.sheet.batches() for spot in one.spots]
        if not spots:
            self.tell(self.with_keys(self._nothing_ready()), "wrong")
            return
        here = (self.grid.spot, self.grid.stage.id)
        place = spots.index(here) + 1 if here in spots else 0
        self.grid.go_to(*spots[place % len(spots)])

    def action_changed_cut(self) -> None:
        from crewdesk.screens.piece.changed_cuts import ask_changed_cut, cut_asked

        if (cut := cut_asked(self.program, self.grid.spot)) is None:
            self.tell(none_waits(self.program.record))
            return
        if cut.spot != self.grid.spot:
            self.grid.go_to(cut.spot, self.program.record.stages.find(cut.step_id)[0].id)
        ask_changed_cut(self.program, cut)

    def action_clear(self) -> None:
        from crewdesk.screens.piece.steps import take_back

        if self.grid.spot is not None:
            take_back(self.program, self.grid.spot, self.grid.stage.steps)

    def action_add_beam(self) -> None:
        from crewdesk.screens.run_sheet.beam_form import ask_beam

        spot = self.grid.spot
        ask_beam(self.program, None, like=spot.beam if spot else None)

    def action_remove_beam(self) -> None:
        from crewdesk.job.beams.beams import remove_beam
        from crewdesk.screens.parts.ask import make_sure

        if (spot := self.grid.spot) is None:
            return
        app = self.program
        make_sure(
            app,
            f"Remove {app.record.beam(spot.beam).label} with its readings?",
            "Remove it",
            lambda: app.do(lambda record, now: remove_beam(record, spot.beam, now)),
        )

    def action_cautions(self) -> None:
        self.show_cautions(self.grid.stage.id)

    def action_leave(self) -> None:
        self.program.leave_job()


def _fit(beam: Beam, piece: Piece, step: Step, shown: Shown) -> str:
    """Return whether a board goes in, as marked or as cut, in a few words."""
    if step.id not in _TRIED:
        return ""
    from crewdesk.paper.text.dry_fit import fit_in_brief

    fit = fit_in_brief(beam, piece, shown)
    return f"  {fit}." if fit else ""

"""The run sheet: the job's beams through its stages, and the ready batches."""

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

from rich.text import Text
from textual import on
from textual.containers import Horizontal
from textual.content import Content
from textual.events import Resize
from textual.widget import Widget
from textual.widgets import Static

from crewdesk.job.beams.beam import Beam
from crewdesk.job.beams.piece import Piece
from crewdesk.job.cuts.open_cuts import none_waits, open_cuts
from crewdesk.job.steps.gates import closed
from crewdesk.job.steps.run_sheet import RunSheet
from crewdesk.job.steps.stages import Step
from crewdesk.job.steps.ticks import Spot
from crewdesk.paper.plain import plain
from crewdesk.screens.parts.coach import CHECK_OFF, LOOK, OPEN
from crewdesk.screens.parts.inked import inked
from crewdesk.screens.parts.page import Page
from crewdesk.screens.parts.program import ChangedRows
from crewdesk.screens.run_sheet.cell_words import (
    done_words,
    held_words,
    last_noted,
    letters_told,
    ready_line,
    signs_key,
)
from crewdesk.screens.run_sheet.coach_line import CoachLine
from crewdesk.screens.run_sheet.grid import RunGrid
from crewdesk.sentence import many

if TYPE_CHECKING:
    from crewdesk.screens.run_sheet.beam_beside import BeamBeside  # loaded in a wide window

_WIDE = 118
_NOTHING_READY = "Nothing is ready to batch. Press {what-is-missing} to see what is missing."
_ALL_DONE = "Every step is done."
_ANSWER_WAITED = "A cut that changed waits for your answer. Press {changed-cut}."
_NO_BEAM = """
  No beams yet.

  {list-of-beams}  adds a list of them: Great room: 4 beams 16' 7-1/4x6
  {add-beam}  adds one with everything you know about it: name, room, walls, section.

  Then this page shows every beam, with the stages across. What is ready shows □; {tick}
  checks it off, {batch} the whole batch, {piece} opens the piece to enter its readings.
"""


class RunSheetPage(Page):
    """Beams down, stages across; check off one piece's step or a whole batch."""

    _painted = False
    AREA = "run-sheet"
    DEFAULT_CSS = """
    RunSheetPage #heads { height: 3; background: $surface; text-wrap: nowrap; }
    RunSheetPage #here { height: 3; padding: 0 1; background: $surface; }
    RunSheetPage #signs { height: auto; max-height: 2; padding: 0 1; color: $muted; }
    RunSheetPage #no-beam { height: 1fr; }
    RunSheetPage #beside { display: none; }
    RunSheetPage.wide #beside { display: block; }
    """

    _beside: "BeamBeside | None" = None
    """The drawing beside the grid, once the window was wide enough."""
    _key_told = ""

    @property
    def where(self) -> str:
        record = self.program.record
        only = "  (read only)" if self.program.job and self.program.job.read_only else ""
        return f"{record.job.name}{only}"

    def body(self) -> Iterable[Widget]:
        self.sheet = RunSheet(self.program.record)
        yield Static(id="heads", markup=False)
        with Horizontal(id="across"):
            yield RunGrid(self.sheet)
            if self.app.size.width >= _WIDE:
                yield self._made_beside()
        yield Static(self.with_keys(_NO_BEAM), id="no-beam", markup=False)
        yield Static(id="here", markup=False)
        if self.program.coaching.left:
            yield CoachLine(markup=False)
        yield Static(id="signs", markup=False)

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
        """Begin in the grid, on the first piece with something to do."""
        self.grid.focus()
        self._coached()
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
        if self._painted:
            self._tell_here()
        else:  # the grid first: what is ready takes a look at all beams
            self._painted = True
            self.call_after_refresh(self._tell_here)

    @on(Resize)
    def resized(self) -> None:
        """Fit the heads to the columns; show the piece beside them if there is room."""
        wide = self.size.width >= _WIDE
        self.set_class(wide, "wide")
        if wide and self._beside is None:
            self.query_one("#across").mount(self._made_beside())
        self.call_after_refresh(self._tell_heads)
        self.call_after_refresh(self._tell_here)

    def _made_beside(self) -> "BeamBeside":
        from crewdesk.screens.run_sheet.beam_beside import BeamBeside

        self._beside = BeamBeside(id="beside")
        return self._beside

    def _tell_heads(self) -> None:
        total = self.sheet.total()
        ready: dict[str, int] = {}
        for one in self.sheet.batches():
            ready[one.stage.id] = ready.get(one.stage.id, 0) + len(one.spots)
        done = f" {total.behind}/{total.steps} done"
        keys = (key for beam in self.program.record.beams for key in beam.pieces)
        letters = letters_told(self.grid.ordered(keys), self.grid.name_width - 2)
        lines = self.grid.heads(ready, done, *letters)
        if not ready:
            lines[2] = [(f" {self.with_keys(self._nothing_ready())}", "text")]
        self.query_one("#heads", Static).update(inked(lines), layout=False)
        held = open_cuts(self.program.record)
        closed = any(line.beam and not line.piece for line in self.grid.lines)
        if (
            text := signs_key(self.size.width - 2, closed=closed, held=bool(held))
        ) != self._key_told:
            self._key_told = text
            self.query_one("#signs", Static).update(text)

    def _nothing_ready(self) -> str:
        if not self.sheet.all_done:
            return _NOTHING_READY
        held = open_cuts(self.program.record)
        return f"{_ALL_DONE} {_ANSWER_WAITED}" if held else _ALL_DONE

    @on(RunGrid.Moved)
    def moved(self) -> None:
        """Show the words of the cell under the cursor."""
        self._tell_here()
        self.grid.show_cursor()

    @on(RunGrid.Walked)
    def walked(self) -> None:
        """Note that the arrow keys were tried."""
        self._coached(LOOK)

    def _coached(self, act: str = "") -> None:
        """Show the next action for a first-time user after one was done."""
        self.program.coaching = self.program.coaching.after(act)
        for line in self.query(CoachLine):
            line.show(self.program.coaching, self.with_keys)

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
        if cell.state == "ready" and cell.next is not None and not self._held_here(beam, spot):
            here.update(self._ready_here(beam, piece, cell.next), layout=False)
            self._show_beside(beam, piece)
            return
        after = f": next {cell.next.name}" if cell.next else ""
        where = [beam.label, piece.name, stage.name]
        if self.grid.closed and not any(one.next for one in self.grid.cells_here):
            where.remove(piece.name)
        text.append(plain(f"{' · '.join(where)}{after}"), style="bold")
        if line := self._held_here(beam, spot):
            text.append("\n" + plain(line))
        elif cell.state == "none":
            text.append("\nNothing to do here in this stage.")
        elif cell.next is None:
            text.append(f"\n{done_words(cell, closed=self.grid.closed)}")
            for step in stage.steps:
                if (mark := piece.steps.get(step.id)) and (mark.override or mark.reason):
                    text.append(plain(f"  {step.name}: {mark.override or mark.reason}."))
        elif cell.state == "blocked":
            text.append("\n" + plain(f"Blocked: {piece.steps[cell.next.id].reason}"))
        elif gate := closed(record.stages, beam, piece, cell.next):
            text.append("\n" + plain(gate))
        here.update(text, layout=False)
        self._show_beside(beam, piece)

    def _ready_here(self, beam: Beam, piece: Piece, step: Step) -> Content:
        """What can be done at once in the cell under the cursor, with its keys."""
        count = sum(len(one.spots) for one in self.sheet.batches() if one.step.id == step.id)
        keys = self.with_keys("{tick}"), self.with_keys("{batch}"), count
        shown = self.program.record.job.step
        return ready_line(beam, piece, step, keys, shown, self.size.width - 2)

    def _show_beside(self, beam: Beam, piece: Piece) -> None:
        """Draw the beam beside the grid, if there is room."""
        if self._beside is not None and self._beside.is_mounted and self.has_class("wide"):
            self._beside.show(self.program.record, beam, piece, self.sheet.batches())

    def _held_here(self, beam: Beam, spot: Spot) -> str:
        """Return what holds the step under the cursor, or the cut in its cell that needs an answer,
        with the key to answer; "" if nothing does."""
        cell = self.grid.cell
        assert cell is not None
        text = held_words(self.program.record.stages, beam, spot, self.grid.stage, cell)
        return text and self.with_keys(f"{text} Press {{changed-cut}} to answer.")

    # What the keys do

    def action_tick(self) -> None:
        from crewdesk.screens.piece.steps import tick_step

        if (on := self._step_here()) is None:
            return
        spot, step = on
        if tick_step(self.program, *on):
            self.grid.let_go()
            self.grid.flash(spot, self.grid.stage.id)
            self._coached(CHECK_OFF)
            self._tell_here()
            return
        beam = self.program.record.beam(spot.beam)
        gate = closed(self.program.record.stages, beam, beam.piece(spot.piece), step)
        if self._held_here(beam, spot):
            text = "Not checked off: a cut changed, as shown above. Press {changed-cut} to answer."
            self.program.tell(self.with_keys(text), "wrong")
        elif gate is not None and gate == self.program.last_told:
            text = (
                "Not checked off: the reason is above. Press {pass-gate} to "
                "override, with a reason."
            )
            self.program.tell(self.with_keys(text), "wrong")

    def _step_here(self) -> tuple[Spot, Step] | None:
        spot, step = self.grid.spot, self.grid.step
        if spot is None or step is None:
            text = (
                "Nothing is left to check off here. Press {next-ready} to go to the "
                "next ready piece."
            )
            self.tell(self.with_keys(text), "wrong")
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
        self._coached(OPEN)
        if self.program.large:
            self.action_open_page("one-number", "piece")
        elif self.grid.spot is not None:
            self.program.open("piece", self.grid.spot)

    def action_pieces(self) -> None:
        self.grid.turn_beam()
        self._tell_heads()

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

        spot = self.grid.spot
        if spot is None:
            return
        if self.grid.closed:
            spot = last_noted(self.program.record.beam(spot.beam), self.grid.stage) or spot
        take_back(self.program, spot, self.grid.stage.steps)
        self.grid.let_go()

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

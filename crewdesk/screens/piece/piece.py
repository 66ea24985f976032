"""The piece: its readings, the cut during typing, a drawing, its steps."""

from collections.abc import Iterable
from fractions import Fraction
from typing import ClassVar

from textual import on
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.content import Content
from textual.events import DescendantFocus, Resize
from textual.geometry import Size
from textual.widget import Widget
from textual.widgets import Input, Static

from crewdesk.errors import CrewdeskError
from crewdesk.job.beams.beam import Beam
from crewdesk.job.beams.piece import KIND_OF, Piece
from crewdesk.job.beams.readings import Reading
from crewdesk.job.cuts.as_cut import cuts, figures_for
from crewdesk.job.cuts.changed_cuts import held_cuts
from crewdesk.job.cuts.open_cuts import none_waits
from crewdesk.job.cuts.scribe_way import scribe_cut_known
from crewdesk.job.lumber.spliced import splices_of_piece
from crewdesk.job.steps.stages import Step
from crewdesk.job.steps.ticks import Spot
from crewdesk.length import Step as Shown
from crewdesk.paper.plain import plain
from crewdesk.screens.parts.fitted import in_rows
from crewdesk.screens.parts.going import back_at, next_of_beam, other_of_kind, partner
from crewdesk.screens.parts.page import Page
from crewdesk.screens.parts.picture import Picture
from crewdesk.screens.parts.program import ChangedRows
from crewdesk.screens.piece.changed_cuts import ask_changed_cut
from crewdesk.screens.piece.cut_told import (
    PieceCut,
    beam_section,
    joined,
    piece_cut,
    piece_picture,
)
from crewdesk.screens.piece.details import DetailsSheet
from crewdesk.screens.piece.gaps import GapsSheet
from crewdesk.screens.piece.reading_line import ReadingLine
from crewdesk.screens.piece.readings import AWAY, Readings, doubts_of, hint_of
from crewdesk.screens.piece.room import hint_rows, room_of, section_beside
from crewdesk.screens.piece.steps import (
    Stood,
    ask_past_gate,
    ask_set_aside,
    ask_steps,
    list_told,
    next_of,
    next_step,
    next_told,
    signs_told,
    stage_of_piece,
    steps_of,
    tick_step,
)
from crewdesk.screens.piece.tall_figures import TallFigures
from crewdesk.screens.piece.to_the_saw import Parts, rounded_to
from crewdesk.trade.read_length import with_its_unit

_LINES = 3
"""The most lines of notes, except on a tall screen."""
_NOT_SAVED = (
    "The reading you typed isn't saved. Enter saves it, {back} twice discards it. Then check the "
    "step off."
)


class PiecePage(Page):
    """One piece of a beam."""

    AUTO_FOCUS = ""
    AREA = "piece"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("ctrl+up,left_square_bracket", "look(-1)", show=False, priority=True),
        Binding("up", "line(-1)", show=False),
        Binding("down", "line(1)", show=False),
    ]
    SCROLLED = "#left"
    DEFAULT_CSS = """
    PiecePage #both { height: auto; }
    PiecePage #left { height: auto; overflow-y: auto; scrollbar-size-vertical: 1; }
    PiecePage #hint { height: auto; min-height: 1; max-height: 2; padding: 0 1;
                      background: $surface; color: $muted; text-wrap: nowrap; }
    PiecePage #hint.doubt { color: $warning; text-style: bold; }
    PiecePage #next { height: auto; padding: 0 1; text-wrap: nowrap; }
    PiecePage #cut { height: auto; padding: 0 1; text-wrap: nowrap; text-overflow: ellipsis; }
    PiecePage #drawn { min-height: 5; }
    PiecePage #drawn.empty { min-height: 0; }
    PiecePage #signs { display: none; height: 1; padding: 0 1; background: $surface;
                       text-wrap: nowrap; text-overflow: ellipsis; }
    PiecePage.tall #signs { display: block; }
    PiecePage #right { display: none; width: 42; height: 100%; background: $surface; }
    PiecePage #section { height: 14; }
    PiecePage #list { height: auto; padding: 0 1; }
    PiecePage #steps { height: 1fr; scrollbar-size-vertical: 1; }
    PiecePage.wide #right { display: block; }
    PiecePage.beside #right { display: block; width: 36; }
    PiecePage.beside #section { height: 100%; }
    PiecePage.beside #steps { display: none; }
    PiecePage.wide #signs { display: none; }
    PiecePage.wide #figures, PiecePage.wide #cut { padding: 1 1 0 1; }
    """

    def __init__(self, spot: Spot) -> None:
        super().__init__()
        self.spot = spot
        self._shown: dict[str, Content] = {}
        self._steps: tuple[Stood, ...] = ()
        self._now: tuple[str, ...] = ()
        self._cut = PieceCut(None)
        self._shown_in = (Size(0, 0), False)

    # What it is about

    @property
    def beam(self) -> Beam:
        """The beam of the piece."""
        return self.program.record.beam(self.spot.beam)

    @property
    def piece(self) -> Piece:
        """The piece."""
        return self.beam.piece(self.spot.piece)

    @property
    def where(self) -> str:
        record = self.program.record
        try:
            beam = self.beam
        except CrewdeskError:
            return record.job.name
        only = "  (read only)" if self.program.job and self.program.job.read_only else ""
        return f"{beam.label} · {self.piece.name}   {record.job.name}{only}"

    @property
    def readings(self) -> Readings:
        """The lines of this piece's readings."""
        return self.query_one(Readings)

    @property
    def fields(self) -> list[Input]:
        """The inputs, from the top."""
        return self.readings.fields

    def body(self) -> Iterable[Widget]:
        with Horizontal(id="both"):
            with Vertical(id="left"):
                level = self.program.shop.level
                yield Readings(self.spot, with_its_unit(level, "in", self._step))
                yield Static(id="hint", markup=False)
                yield Static(id="next", markup=False)
                yield TallFigures(id="figures")
                yield Static(id="cut", markup=False)
            with Vertical(id="right"):
                yield Picture(id="section", most_rows=14)
                with VerticalScroll(id="steps", can_focus=False):
                    yield Static(id="list", markup=False)
        yield Picture(id="drawn", most_rows=18)
        yield Static(id="signs", markup=False)

    def on_mount(self) -> None:
        """Begin in the first missing reading, once those are known."""
        self.call_after_refresh(self._go_to_first)

    def _go_to_first(self) -> None:
        self.set_focus(self.readings.first)

    @on(Resize)
    def resized(self, event: Resize) -> None:
        """Show the list of steps and the section if there is room."""
        room = room_of(event.size)
        self.set_class(room.wide, "wide")
        self.set_class(room.tall, "tall")
        self.call_after_refresh(self._show_anew)

    # What it shows

    def record_changed(self, rows: ChangedRows) -> None:
        """Show the record's piece; close if it is gone."""
        try:
            beam, piece = self.beam, self.piece
        except CrewdeskError as gone:
            if isinstance(self.app.screen, GapsSheet):
                self.app.screen.dismiss()
            if self.is_current:
                self.app.pop_screen()
                self.program.tell(str(gone))
            return
        self.readings.show(beam, piece, self._step)
        self._steps = steps_of(self.program.record.stages, beam, piece)
        self._put("#signs", signs_told(self._steps))
        self._put("#list", list_told(self._steps))
        step = next_of(self._steps)
        self._now = tuple(figures_for(beam, piece, step.id, self._step)) if step else ()
        self.query_one("#section", Picture).show(beam_section(beam, self._step, self._cleat))
        self.show_cut()
        if isinstance(self.app.screen, GapsSheet):
            self.app.screen.show()

    def _show_anew(self) -> None:
        """Fit the cut to another size, if it changed."""
        if self.is_current and self._shown_in != (self.size, self.has_class("wide")):
            self.show_cut()

    @property
    def _step(self) -> Shown:
        return self.program.record.job.step

    @property
    def _cleat(self) -> Fraction:
        """How far the job's cleats reach off the sides, in inches."""
        return self.beam.habits.cleat

    def show_cut(self) -> None:
        """Show the cut and the drawing from the saved and typed readings."""
        self._shown_in = (self.size, self.has_class("wide"))
        beam, piece = self.beam, self.piece
        self.set_class(section_beside(self.size, piece.kind), "beside")
        typed, trouble = self.readings.typed()
        doubt = next(iter(doubts_of(beam, piece, typed)), "")
        way = scribe_cut_known(beam, piece, self.program.shop.machine, self._step)
        stages = self.program.record.stages
        self._cut = cut = piece_cut(
            stages, beam, piece, typed, trouble, self._step, doubt, self._cleat, way, self._now
        )
        picture = piece_picture(
            beam,
            piece,
            cut.made,
            self._step,
            beside=self.has_class("wide") or self.has_class("beside"),
            cleat=self._cleat,
            spliced=splices_of_piece(self.program.record, beam.row, piece.key),
        )
        drawn = self.query_one("#drawn", Picture)
        drawn.set_class(picture is None, "empty")
        drawn.show(picture)
        width, rows = self._room(drawn=picture is not None)
        rows -= len(self.readings.lines) + self._show_hint(typed, doubt, width)
        unsaved = bool(typed or trouble)
        aside = (
            ("as typed, not saved", "$accent bold")
            if unsaved
            else (rounded_to(self._step), "$muted")
        )
        bright = any(one.now for one in cut.figures)
        text = next_told(
            stages, beam, piece, self._steps, self.with_keys, aside, width, set_=bright
        )
        self._put("#next", text)
        rows -= len(text.plain.splitlines())
        lines = self._lines(cut)
        self._put("#cut", joined(lines))
        self.query_one("#cut").display = bool(lines)
        self.query_one("#figures", TallFigures).show(cut.figures, width, rows - len(lines))

    def _room(self, *, drawn: bool) -> tuple[int, int]:
        """Return the columns and rows for readings, figures and lines, and limit these to the rows,
        so that the drawing keeps its own."""
        section = self.has_class("beside")
        room = room_of(self.size, drawn=drawn, section=section)
        fixed = section or (room.wide and drawn)
        self.query_one("#both").styles.height = room.rows if fixed else "auto"
        self.query_one("#left").styles.max_height = room.rows
        return room.columns, room.inside

    def _lines(self, cut: PieceCut) -> list[Parts]:
        """Return the notes for now, in a few lines; on a tall screen the explanations too."""
        if self.has_class("tall"):
            return [*cut.lines, *cut.quiet]
        lines = [*cut.lines, *cut.quiet][:_LINES]
        left = len(cut.lines) - _LINES
        if left > 0:
            more: Parts = [(self.with_keys(f"{left + 1} more: {{details}}"), "$warning")]
            lines[-1:] = [more]
        return lines

    def _show_hint(self, typed: dict[str, Reading], doubt: str, width: int) -> int:
        """Show the hint of the focused line: a doubt, the saved value, or how to measure. Return
        its number of rows."""
        self.query_one("#hint").set_class(bool(doubt), "doubt")
        hint = hint_of(self.beam, self.piece, self._what_in, typed, self._step)
        text = plain(f"Doubtful: {doubt}" if doubt else hint)
        read = self._what_in not in (None, *typed) and self._what_in in self.piece.readings
        line = in_rows(text, width, hint_rows(self.size, instructs=not (read or doubt)))
        self._put("#hint", Content(line))
        return max(1, len(line.splitlines()))

    def _put(self, id_: str, told: Content) -> None:
        """Show something if it changed, since layout takes time."""
        if id_ not in self._shown or not told.is_same(self._shown[id_]):
            self._shown[id_] = told
            self.query_one(id_, Static).update(told)

    @property
    def _what_in(self) -> str | None:
        """Return the reading, or the level, of the focused line."""
        return self.readings.what_in(self.focused)

    @on(Readings.Saved)
    @on(DescendantFocus)
    def focus_moved(self) -> None:
        """Show the hint of the newly focused line."""
        self.show_cut()

    @on(ReadingLine.Typed)
    @on(Input.Changed, "#type-level")
    def typed(self) -> None:
        """Show the result of the typed text."""
        self.readings.leaving = None
        self.show_cut()

    # What the keys do

    def action_line(self, by: int) -> None:
        self.readings.go(by)

    def action_look(self, way: int) -> None:
        self.query_one("#left").scroll_relative(y=3 * way, animate=False)

    def action_tick(self) -> None:
        step = next_step(self.program, self.spot)
        if step is not None and self._may_check_off(step):
            tick_step(self.program, self.spot, step)

    def action_pass_gate(self) -> None:
        step = next_step(self.program, self.spot)
        if step is not None and self._may_check_off(step):
            ask_past_gate(self.program, self.spot, step)

    def _may_check_off(self, step: Step) -> bool:
        """Return whether a step may be checked off: no cut while a typed reading is unsaved, since
        the shown marks already include it."""
        if not cuts(step.id, self.piece) or not (unsaved := self.readings.unsaved):
            return True
        unsaved[0].field.focus()
        self.program.tell(self.with_keys(_NOT_SAVED), "wrong")
        return False

    def action_set_aside(self) -> None:
        if (step := next_step(self.program, self.spot)) is not None:
            ask_set_aside(self.program, self.spot, step)

    def action_changed_cut(self) -> None:
        held = held_cuts(self.beam)
        cut = next((one for one in held if one.spot == self.spot), next(iter(held), None))
        if cut is None:
            self.program.tell(none_waits(self.program.record))
        else:
            ask_changed_cut(self.program, cut)

    def needed(self, what: str) -> tuple[Spot]:
        return (self.spot,)

    def action_steps(self) -> None:
        ask_steps(self.program, self.spot, self._may_check_off)

    @property
    def details(self) -> Content:
        """Show the details, from saved and typed readings, in words."""
        return self._cut.details()

    def action_details(self) -> None:
        hint = hint_of(self.beam, self.piece, self._what_in, {}, self._step, timed=True)
        text = joined([[(plain(hint), "$muted")], [("", "")], [("", "")]])
        title = f"{self.beam.label} · {self.piece.name}"
        self.app.push_screen(DetailsSheet(title, (text if hint else Content("")) + self.details))

    def action_partner(self) -> None:
        self._go(partner(self.spot), to_unread=True)

    def action_along(self, by: int) -> None:
        self._go(next_of_beam(self.program.record, self.spot, by))

    def action_other(self, by: int) -> None:
        spot = other_of_kind(self.program.record, self.spot, by)
        self._go(spot, to_unread=not self.readings.unread)

    def _go(self, spot: Spot, *, to_unread: bool = False) -> None:
        """Show another piece, on the same line unless a missing one is requested."""
        if spot.piece not in self.program.record.beam(
            spot.beam
        ).pieces or not self.readings.may_leave(spot):
            return
        same = KIND_OF[spot.piece] == self.piece.kind
        self.readings.clear()
        self.spot = self.readings.spot = spot
        self.tell("")
        self.on_screen_resume()
        self.readings.clear()
        if not same or (to_unread and self.readings.unread):
            self._go_to_first()
        self.show_cut()

    def action_paper(self) -> None:
        from crewdesk.screens.parts.paper import ask_beam_paper

        ask_beam_paper(self.program, self.spot.beam, unsaved=bool(self.readings.unsaved))

    def action_cautions(self) -> None:
        self.show_cautions(stage_of_piece(self.program, self.spot))

    def action_leave(self) -> None:
        if self.readings.may_leave(AWAY):
            back_at(self.program, self.spot)

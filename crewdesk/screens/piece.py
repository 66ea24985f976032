"""The piece: its readings, the cut as one types, a drawing of it, its steps."""

from collections.abc import Iterable
from datetime import datetime
from typing import ClassVar

from textual import on
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.content import Content
from textual.events import DescendantFocus, Resize
from textual.widget import Widget
from textual.widgets import Input, Label, Static

from crewdesk.job.beam import Beam
from crewdesk.job.believable import doubt
from crewdesk.job.how_sure import how_sure
from crewdesk.job.marks import Marks, SideMarks, marks
from crewdesk.job.piece import KIND_OF, PARTNER, Piece
from crewdesk.job.readings import ENDS, NAMES, OF_KIND, Reading
from crewdesk.job.refused import Refused, said
from crewdesk.job.stages import Step
from crewdesk.job.take import take
from crewdesk.job.ticks import Spot
from crewdesk.paper.cutlist import asked_told, missing_of, wall
from crewdesk.screens.board_picture import board_picture
from crewdesk.screens.cut_told import cut_told, trouble_told
from crewdesk.screens.page import Page
from crewdesk.screens.picture import Draw, Picture
from crewdesk.screens.piece_steps import (
    StepsSheet,
    list_told,
    next_of,
    next_told,
    signs_told,
    steps_of,
)
from crewdesk.screens.reading_line import Field, LeanUnknown, ReadingLine, in_full
from crewdesk.screens.section_picture import bottom_picture, section_picture
from crewdesk.screens.step_acts import ask_past_gate, ask_set_aside, take_back, tick_step
from crewdesk.screens.words import plain
from crewdesk.trade.cuts.side_board import Side
from crewdesk.trade.cuts.sureness import SideSureness
from crewdesk.trade.length import Step as Shown
from crewdesk.trade.refusal import Refusal

_FORMS = "12' 3-5/16\", 12 3 5/16, 147-5/16, 147.3125 or 3738 mm"
_GAP = (
    "Level plumb against the wall: the gap at its end. In: the top of the wall comes "
    "towards the beam; out: it goes away."
)
_HOW = {
    "run": f"Laser at the bottom line, wall to wall; write {_FORMS}.",
    "end1": _GAP,
    "end2": _GAP,
    "opening": f"Tape between the walls, once both sides are up; write {_FORMS}.",
}
_LABELS = {"run": "run at bottom line", "opening": "between the walls"}
_NO_LINES = "The cleats follow the sides; they take no reading of their own."
_LEVEL = "Length of the level that the gaps are read with; enter keeps it for the shop."
_WIDE, _TALL = 110, 30
"""Columns and rows from which on there is room for the list of steps and the section."""


class PiecePage(Page):
    """One piece of a beam."""

    AUTO_FOCUS = ""
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("f3", "steps", "Steps"),
        Binding("f4", "tick", "Tick"),
        Binding("f5", "partner", "Partner"),
        Binding("f8", "pass_gate", "Pass gate", show=False),
        Binding("f9", "set_aside", "Block", show=False),
        Binding("pagedown", "other(1)", "Next"),
        Binding("pageup", "other(-1)", "Previous", show=False),
        Binding("ctrl+n", "along", "Next of beam", show=False),
        Binding("up", "line(-1)", show=False),
        Binding("down", "line(1)", show=False),
        Binding("escape", "leave", "Back"),
    ]
    DEFAULT_CSS = """
    PiecePage #lines { height: auto; background: $surface; }
    PiecePage #level { height: 1; }
    PiecePage #level Label { width: 23; padding: 0 1; }
    PiecePage #level Input { width: 14; background: $panel; }
    PiecePage #level Input:focus { background: $primary 25%; }
    PiecePage #level .record { width: 1fr; padding: 0 1; color: $muted; }
    PiecePage #hint { height: auto; min-height: 1; max-height: 3; padding: 0 1;
                      background: $surface; color: $muted; }
    PiecePage #hint.doubt { color: $warning; text-style: bold; }
    PiecePage #cut { height: auto; padding: 0 1; }
    PiecePage #drawn { min-height: 3; }
    PiecePage #strip { height: auto; max-height: 4; padding: 0 1; background: $surface; }
    PiecePage #right { display: none; width: 42; background: $surface; }
    PiecePage #list { height: auto; padding: 0 1; }
    PiecePage #steps { height: auto; max-height: 24; scrollbar-size-vertical: 1; }
    PiecePage.wide #right { display: block; }
    PiecePage.wide #signs { display: none; }
    PiecePage.wide #cut { padding: 1 1; }
    """

    def __init__(self, spot: Spot) -> None:
        super().__init__()
        self.spot = spot
        self._leaving = False
        self._who = ""
        self._shown: dict[str, Content] = {}

    # What it is about

    @property
    def beam(self) -> Beam:
        """The beam of the piece."""
        return self.desk_app.record.beam(self.spot.beam)

    @property
    def piece(self) -> Piece:
        """The piece."""
        return self.beam.piece(self.spot.piece)

    @property
    def where(self) -> str:
        beam, record = self.beam, self.desk_app.record
        only = "  (read only)" if self.desk_app.job and self.desk_app.job.read_only else ""
        return f"{beam.label} · {self.piece.name}   {record.job.name}{only}"

    @property
    def lines(self) -> list[ReadingLine]:
        """The lines of the readings that this piece takes."""
        return [self.query_one(f"#read-{what}", ReadingLine) for what in OF_KIND[self.piece.kind]]

    @property
    def fields(self) -> list[Input]:
        """Where one types, from the top on."""
        level = [self.query_one("#type-level", Input)] if self.piece.kind == "side" else []
        return [line.field for line in self.lines] + level

    def body(self) -> Iterable[Widget]:
        with Horizontal(id="both"):
            with Vertical(id="left"):
                with Vertical(id="lines"):
                    for what in NAMES:
                        yield ReadingLine(what)
                    with Horizontal(id="level"):
                        yield Label("level's length")
                        yield Field("level", self.desk_app.desk.shop.shop().level)
                        yield Static(classes="record", markup=False)
                yield Static(id="hint", markup=False)
                yield Static(id="cut")
                yield Picture(id="drawn", most_rows=18)
            with Vertical(id="right"):
                with VerticalScroll(id="steps", can_focus=False):
                    yield Static(id="list")
                yield Picture(id="section", most_rows=22)
        with Vertical(id="strip"):
            yield Static(id="signs")
            yield Static(id="next")

    def on_mount(self) -> None:
        """Begin in the first line that was not read yet."""
        self._go_to_first()

    def _go_to_first(self) -> None:
        unread = [line.field for line in self.lines if line.latest is None]
        if first := unread or self.fields:
            first[0].focus()
        else:
            self.set_focus(None)

    @on(Resize)
    def resized(self, event: Resize) -> None:
        """Show the list of steps and the section where there is room."""
        self.set_class(event.size.width >= _WIDE and event.size.height >= _TALL, "wide")

    # What it shows

    def record_changed(self, rows: frozenset[tuple[str, str]]) -> None:
        """Show the piece as it is in the record; go back where it is no more."""
        try:
            beam, piece = self.beam, self.piece
        except Refused as gone:
            if self.is_current:
                self.app.pop_screen()
                self.desk_app.tell(str(gone))
            return
        takes = OF_KIND[piece.kind]
        for what in NAMES:
            line = self.query_one(f"#read-{what}", ReadingLine)
            line.display = what in takes
            if what in takes:
                at = ENDS.index(what) + 1 if what in ENDS else 0
                name = f"end {at}  {beam.ends[at - 1]}" if at else _LABELS[what]
                named = wall(beam, at) if at else ""
                line.show(name, named, piece.readings.get(what, ()), self._step)
        self.query_one("#level").display = piece.kind == "side"
        who = self._who = self.desk_app.desk.shop.shop().who
        self.query_one("#level .record", Static).update(plain(f"read by {who}" if who else ""))
        steps = steps_of(self.desk_app.record.stages, beam, piece)
        self._put("#signs", signs_told(steps))
        self._put("#list", list_told(steps))
        self._put("#next", next_told(self.desk_app.record.stages, beam, piece, steps))
        self.query_one("#section", Picture).show(
            lambda columns, rows: section_picture(beam.section, self._step, columns, rows)
        )
        self.show_cut()

    @property
    def _step(self) -> Shown:
        return self.desk_app.record.job.step

    def _reading(self, line: ReadingLine, now: datetime) -> Reading:
        return line.reading(
            self.desk_app.record,
            now,
            level=self.query_one("#type-level", Input).value,
            who=self._who,
        )

    def _read_typed(self, typed: dict[str, Reading], now: datetime) -> str:
        """Put into `typed` what is typed and not saved; the sentence for what won't do."""
        for line in self.lines:
            if line.pending:
                try:
                    typed[line.what] = self._reading(line, now)
                except (Refused, Refusal) as refused:
                    return f"{NAMES[line.what]}: {said(refused)}"
        return ""

    def show_cut(self) -> None:
        """Show the cut and the drawing as the readings and what is typed have them."""
        beam, piece, now = self.beam, self.piece, self.desk_app.now()
        typed: dict[str, Reading] = {}
        picture = self.query_one("#drawn", Picture)
        made: Marks | None = None
        sure: SideSureness | None = None
        trouble = self._read_typed(typed, now)
        if not trouble:
            try:
                made = marks(beam, piece, typed)
                sure = how_sure(beam, piece, typed)
            except Refusal as refusal:
                trouble = said(refusal)
        if trouble:
            self._put("#cut", trouble_told(trouble, self._step))
        elif made is not None:
            missing = [
                asked_told(beam, key, what)
                for key, what in missing_of(beam, piece)
                if key != piece.key or what not in typed
            ]
            told = cut_told(beam, piece, made, self._step, missing, sure, typed=bool(typed))
            self._put("#cut", told)
        picture.show(self._draw(beam, piece, made))
        self._show_hint(typed)

    def _draw(self, beam: Beam, piece: Piece, made: Marks | None) -> Draw | None:
        step = self._step
        if made is None and piece.kind == "side":
            return None
        if isinstance(made, SideMarks):
            if (cut := made.cut) is None:
                return self._section_where_narrow(beam)
            side: Side = "A" if piece.key == "A" else "B"
            return lambda columns, rows: board_picture(cut, side, beam.ends, step, columns, rows)
        if piece.kind == "bottom":
            return lambda columns, rows: bottom_picture(beam.section, step, columns, rows)
        return self._section_where_narrow(beam)

    def _section_where_narrow(self, beam: Beam) -> Draw | None:
        """The section, where it has no place of its own beside."""
        if self.has_class("wide"):
            return None
        return lambda columns, rows: section_picture(beam.section, self._step, columns, rows)

    def _show_hint(self, typed: dict[str, Reading]) -> None:
        """Tell of the line one is in: a doubt, what the record holds, or how to read it."""
        hint = self.query_one("#hint", Static)
        what = self._what_in
        beam, piece = self.beam, self.piece
        doubts = [
            one
            for name in OF_KIND[piece.kind]
            if (one := doubt(beam, piece, name, typed.get(name))) is not None
        ]
        hint.set_class(bool(doubts), "doubt")
        if doubts:
            told = f"Doubtful: {doubts[0]}"
        elif what == "level":
            told = _LEVEL
        elif what is None:
            told = "" if self.lines else _NO_LINES
        elif what not in typed and piece.readings.get(what):
            told = in_full(piece.readings[what], self._step)
        else:
            told = _HOW[what]
        self._put("#hint", Content(plain(told)))

    def _put(self, id_: str, told: Content) -> None:
        """Show something, unless it stands there: laying the page out again takes time."""
        if id_ not in self._shown or not told.is_same(self._shown[id_]):
            self._shown[id_] = told
            self.query_one(id_, Static).update(told)

    @property
    def _what_in(self) -> str | None:
        """The reading, or the level, whose line one is in."""
        focused = self.focused
        what = focused.id.split("-")[-1] if focused is not None and focused.id else ""
        lines = OF_KIND[self.piece.kind]
        return what if what in lines or (what == "level" and lines) else None

    @on(DescendantFocus)
    def focus_moved(self) -> None:
        """Tell of the line one came to."""
        self.show_cut()

    @on(ReadingLine.Typed)
    @on(Input.Changed, "#type-level")
    def typed(self) -> None:
        """Show what follows from what was typed."""
        self._leaving = False
        self.show_cut()

    # What the keys do

    @on(ReadingLine.Entered)
    def entered(self, event: ReadingLine.Entered) -> None:
        """Save the line's reading and go on to the next line."""
        line, app = event.line, self.desk_app
        if line.pending and not self._save(line):
            return
        place = self.lines.index(line) + 1
        if place < len(self.lines):
            self.lines[place].field.focus()
        elif not line.field.has_focus:
            line.field.focus()
        app.call_after_refresh(self.show_cut)

    def _save(self, line: ReadingLine) -> bool:
        app = self.desk_app
        try:
            reading = self._reading(line, app.now())
        except LeanUnknown as unknown:
            line.switch.focus()
            self.tell(str(unknown), "wrong")
            return False
        except (Refused, Refusal) as refused:
            self.tell(said(refused), "wrong")
            return False
        if not app.do(lambda record, now: take(record, self.spot, line.what, reading)):
            return False
        line.clear()
        if doubtful := doubt(self.beam, self.piece, line.what):
            self.tell(f"Saved, but doubtful: {doubtful}", "wrong")
        return True

    @on(Input.Submitted, "#type-level")
    def keep_level(self, event: Input.Submitted) -> None:
        """Keep the level's length for the shop."""
        app = self.desk_app
        try:
            shop = app.desk.shop.change(app.now(), level=event.value.strip())
        except (Refused, Refusal) as refused:
            self.tell(said(refused), "wrong")
            return
        self.tell(f"The shop's level is {shop.level} long now; gaps typed from here on use it.")
        self.fields[0].focus()

    def action_line(self, by: int) -> None:
        """The line above or below."""
        whats = [(field.id or "").split("-")[-1] for field in self.fields]
        if self._what_in in whats:
            place = whats.index(self._what_in) + by
            self.fields[max(0, min(place, len(whats) - 1))].focus()

    def action_tick(self) -> None:
        """Tick the next step."""
        if (step := self._next()) is not None:
            tick_step(self.desk_app, self.spot, step)

    def action_pass_gate(self) -> None:
        """Tick the next step past its gate, with a reason."""
        if (step := self._next()) is not None:
            ask_past_gate(self.desk_app, self.spot, step)

    def action_set_aside(self) -> None:
        """Block or skip the next step, with a reason."""
        if (step := self._next()) is not None:
            ask_set_aside(self.desk_app, self.spot, step)

    def _next(self) -> Step | None:
        step = next_of(steps_of(self.desk_app.record.stages, self.beam, self.piece))
        if step is None:
            self.tell("Every step of this piece is behind it.", "wrong")
        return step

    def action_steps(self) -> None:
        """Show every step, to act on any of them."""
        acts = {"tick": tick_step, "pass gate": ask_past_gate, "set aside": ask_set_aside}

        def chosen(act_on: tuple[str, Step] | None) -> None:
            if act_on is None:
                return
            act, step = act_on
            if act == "take back":
                take_back(self.desk_app, self.spot, (step,))
            else:
                acts[act](self.desk_app, self.spot, step)

        steps = steps_of(self.desk_app.record.stages, self.beam, self.piece)
        title = f"{self.beam.label} · {self.piece.name}"
        self.app.push_screen(StepsSheet(title, steps), callback=chosen)

    def action_partner(self) -> None:
        """Go to the other side of the pair; from a bottom or cleats, to side A."""
        self._go(Spot(self.spot.beam, PARTNER.get(self.spot.piece, "A")), to_unread=True)

    def action_along(self) -> None:
        """Go to the next piece of this beam."""
        keys = list(self.beam.pieces)
        self._go(Spot(self.spot.beam, keys[(keys.index(self.spot.piece) + 1) % len(keys)]))

    def action_other(self, by: int) -> None:
        """Go to the next or the previous piece of this kind, in the same line."""
        spots = [
            Spot(beam.row, key)
            for beam in self.desk_app.record.beams
            for key in beam.pieces
            if KIND_OF[key] == self.piece.kind
        ]
        self._go(spots[(spots.index(self.spot) + by) % len(spots)])

    def _go(self, spot: Spot, *, to_unread: bool = False) -> None:
        """Show another piece; stay in the same line, unless one that was not read is asked for."""
        if spot.piece not in self.desk_app.record.beam(spot.beam).pieces or not self._may_leave():
            return
        same = KIND_OF[spot.piece] == self.piece.kind
        for line in self.lines:
            line.clear()
        self.spot = spot
        self.tell("")
        self.on_screen_resume()
        for line in self.lines:
            line.clear()
        if not same or (to_unread and any(line.latest is None for line in self.lines)):
            self._go_to_first()
        self.show_cut()

    def _may_leave(self) -> bool:
        """Whether nothing is typed that is not saved, or one was told so already."""
        unsaved = [line for line in self.lines if line.pending]
        if not unsaved or self._leaving:
            self._leaving = False
            return True
        self._leaving = True
        name = NAMES[unsaved[0].what]
        self.tell(
            f"The {name} is typed and not saved: enter saves it, the same key again drops it.",
            "wrong",
        )
        return False

    def action_leave(self) -> None:
        """Back to the run sheet."""
        if self._may_leave():
            self.app.pop_screen()

"""One reading at a time, in figures that are read from a ladder; the mark stands beside it."""

from collections.abc import Iterable
from typing import ClassVar

from textual import on
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical
from textual.events import Resize
from textual.widget import Widget
from textual.widgets import Input, Static

from crewdesk.job.asked_in_turn import Asked, asked_in_turn, next_beam, next_unread
from crewdesk.job.beam import Beam
from crewdesk.job.believable import doubt
from crewdesk.job.marks import Marks, marks
from crewdesk.job.piece import Spot
from crewdesk.job.readings import ENDS, NAMES, Reading
from crewdesk.job.record import Record
from crewdesk.job.refused import Refused, said
from crewdesk.job.take import asked_for, take, typed_reading
from crewdesk.paper.cutlist import asked_told, wall
from crewdesk.paper.one_mark import one_mark, other_marks
from crewdesk.paper.plain import plain
from crewdesk.screens.big_figures import BigFigures
from crewdesk.screens.keypad import BACK, IN, ON, OUT, RUBBED, Keypad
from crewdesk.screens.length_input import LengthInput
from crewdesk.screens.page import Page
from crewdesk.screens.reading_line import in_brief
from crewdesk.trade.length import Step, show_length, with_its_unit
from crewdesk.trade.refusal import Refusal

_KEYPAD_FROM = (60, 20)
"""Columns and rows from which on there is room for the keys to touch."""
_TALL, _HUGE = 23, 34
"""Rows from which on the figures are larger."""
_LEANS = "Which way does the top of {wall} lean?  {in}: in, towards the beam.  {out}: out."
_ALL_READ = "All read.  Enter: the next beam."


class Typed(LengthInput):
    """Where the one number is typed."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "submit", "Save, go on", id="one-number.save-go-on"),
        Binding("up,pageup", "screen.back_one", "Back one", id="one-number.back-one"),
        Binding("pagedown", "screen.next_beam", "Next beam", id="one-number.next-beam"),
    ]


class OneNumberPage(Page):
    """Asks for one reading after the other; enter saves it and asks for the next."""

    AUTO_FOCUS = ""
    KEYS_OF = "One number"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "go_on", "Save, go on"),
        Binding("up,pageup", "back_one", "Back one", key_display="↑"),
        Binding("pagedown", "next_beam", "Next beam"),
        Binding("i", "lean('in')", "In", show=False),
        Binding("o", "lean('out')", "Out", show=False),
        Binding("f3", "whole", "Whole piece"),
        Binding("escape", "leave", "Back"),
    ]
    DEFAULT_CSS = """
    OneNumberPage #left { width: 1fr; }
    OneNumberPage #asked { height: 2; padding: 0 1; text-style: bold; color: $primary; }
    OneNumberPage Typed { height: 1; width: 100%; background: $panel; }
    OneNumberPage BigFigures { height: 3; margin: 0 1; }
    OneNumberPage.tall BigFigures { height: 5; }
    OneNumberPage.huge BigFigures { height: 10; }
    OneNumberPage #number { color: $foreground; }
    OneNumberPage #mark { color: $mark; }
    OneNumberPage #hint { height: auto; min-height: 1; max-height: 3; padding: 0 1; color: $muted; }
    OneNumberPage #hint.wrong { color: $error; text-style: bold; }
    OneNumberPage #words { height: auto; min-height: 1; max-height: 2; padding: 0 1;
                           text-style: bold; color: $mark; }
    OneNumberPage #marks { height: 1fr; padding: 0 1; background: $surface; }
    OneNumberPage Keypad { display: none; }
    """

    def __init__(self, spot: Spot) -> None:
        super().__init__()
        self.spot = spot
        self._asked: Asked | None = None
        self._pending: Reading | None = None
        self._leaving = False

    # What it is about

    @property
    def beam(self) -> Beam:
        """The beam that is read."""
        return self.desk_app.record.beam(self.spot.beam)

    @property
    def where(self) -> str:
        record = self.desk_app.record
        try:
            return f"{self.beam.label} · one number at a time   {record.job.name}"
        except Refused:
            return record.job.name

    @property
    def _step(self) -> Step:
        return self.desk_app.record.job.step

    @property
    def _turn(self) -> tuple[Asked, ...]:
        return asked_in_turn(self.desk_app.record, self.spot.beam)

    def body(self) -> Iterable[Widget]:
        with Horizontal():
            with Vertical(id="left"):
                yield Static(id="asked", markup=False)
                yield Typed(compact=True)
                yield BigFigures(id="number")
                yield Static(id="hint", markup=False)
                yield Static(id="words", markup=False)
                yield BigFigures(id="mark")
                yield Static(id="marks", markup=False)
            yield Keypad()

    @property
    def _input(self) -> Typed:
        return self.query_one(Typed)

    def on_mount(self) -> None:
        """Begin with the first reading of the piece that was not taken, or of the beam."""
        own = [one for one in self._turn if one[0] == self.spot]
        piece = self.beam.piece(self.spot.piece)
        unread = [one for one in own if piece.latest(one[1]) is None]
        first = unread or ([] if next_unread(self._record, self.spot.beam, None) else own)
        self._ask(first[0] if first else next_unread(self._record, self.spot.beam, None))

    @property
    def _record(self) -> Record:
        return self.desk_app.record

    @on(Resize)
    def resized(self, event: Resize) -> None:
        """Show the keys to touch, and larger figures, where there is room."""
        columns, rows = _KEYPAD_FROM
        roomy = event.size.width >= columns and event.size.height >= rows
        self.set_class(roomy, "roomy")
        self.set_class(event.size.height >= _TALL, "tall")
        self.set_class(event.size.height >= _HUGE, "huge")

    # What it asks and shows

    def _ask(self, asked: Asked | None) -> None:
        """Ask for a reading; None: all of the beam were taken."""
        self._asked, self._pending, self._leaving = asked, None, False
        if asked is not None:
            self.spot = asked[0]
        with self.prevent(Input.Changed):
            self._input.value = ""
        self._input.display = asked is not None
        self.set_focus(self._input if asked is not None else None)
        self._show()

    def record_changed(self, rows: frozenset[tuple[str, str]]) -> None:
        """Show what the record holds; go back where the beam is no more."""
        try:
            turn = self._turn
        except Refused as gone:
            if self.is_current:
                self.app.pop_screen()
                self.desk_app.tell(str(gone))
            return
        if self._asked is not None and self._asked not in turn:
            self._ask(next_unread(self._record, self.spot.beam, None))
        self._show()

    @on(Input.Changed)
    def changed(self) -> None:
        """Show the mark as it would be."""
        self._leaving = False
        self._show()

    def _show(self) -> None:
        beam = self.beam
        if self._asked is None:
            self._tell(f"{beam.label} {beam.piece(self.spot.piece).name}\n{_ALL_READ}", "", "")
            self._show_marks(beam, {}, "run")
            return
        spot, what = self._asked
        piece = beam.piece(spot.piece)
        latest = piece.latest(what)
        text, wrong = self._input.value.strip(), ""
        typed: dict[str, Reading] = {}
        if text and self._pending is None:
            try:
                reading = self._reading(text, "")
                typed = {} if self._lean_wanted(reading) else {what: reading}
            except (Refused, Refusal) as refused:
                wrong = said(refused)
        at = self._turn.index(self._asked) + 1 if self._asked in self._turn else 0
        name = beam.ends[ENDS.index(what)] if what in ENDS else ""
        at_wall = f" · {name}" if name else ""
        asks = f"{piece.name} · {NAMES[what]}{at_wall}\n{at} of {len(self._turn)}"
        shown = text or ("" if latest is None else show_length(latest.value, self._step))
        doubtful = doubt(beam, piece, what, typed[what]) if what in typed else None
        hint = wrong or (f"Doubtful: {doubtful}" if doubtful else "")
        if self._pending is not None:
            hint = self.with_keys(_LEANS.replace("{wall}", wall(beam, ENDS.index(what) + 1)))
        elif not hint and not text and latest is not None:
            hint = f"In the record: {in_brief(latest, self._step)}. Enter goes on."
        elif not hint:
            hint = "Not read yet." if latest is None and not text else ""
        self._tell(asks, shown, hint, wrong=bool(wrong or doubtful or self._pending))
        self._show_marks(beam, typed, what)

    def _tell(self, asks: str, number: str, hint: str, *, wrong: bool = False) -> None:
        self.query_one("#asked", Static).update(plain_lines(asks))
        self.query_one("#number", BigFigures).show(number)
        told = self.query_one("#hint", Static)
        told.set_class(wrong, "wrong")
        told.update(plain(hint))

    def _show_marks(self, beam: Beam, typed: dict[str, Reading], what: str) -> None:
        piece = beam.piece(self.spot.piece)
        words, figures, more = "", "", []
        try:
            made: Marks = marks(beam, piece, typed)
            if (found := one_mark(made, piece.key, what, self._step)) is not None:
                words, figures = found
                more = other_marks(made, beam, piece.key, self._step)
            else:
                lacking = [one for one in asked_for(piece) if one not in typed]
                told = "; ".join(asked_told(beam, piece.key, one) for one in lacking)
                words = f"The mark wants: {told}" if told else ""
        except Refusal as refusal:
            words = said(refusal)
        self.query_one("#words", Static).update(plain(words))
        self.query_one("#mark", BigFigures).show(figures)
        lines = [f"{piece.name}", *more] if more else []
        self.query_one("#marks", Static).update("\n".join(map(plain, lines)))

    def _reading(self, text: str, lean: str) -> Reading:
        """The number as it is typed; a wall whose lean is not told yet is taken to lean in."""
        assert self._asked is not None
        shop = self.desk_app.desk.shop.shop()
        what, now = self._asked[1], self.desk_app.now()
        at_end = what in ENDS
        return typed_reading(
            self._record,
            what,
            text,
            now,
            lean=(lean or "in") if at_end else "",
            level=with_its_unit(shop.level, "in", self._step),
            who=shop.who,
        )

    def _lean_wanted(self, reading: Reading) -> bool:
        """Whether it has to be asked which way the wall leans."""
        return self._asked is not None and self._asked[1] in ENDS and reading.value != 0

    # What the keys do

    @on(Input.Submitted)
    def action_go_on(self) -> None:
        """Save the number and ask for the next one; after the last, go to the next beam."""
        if self._asked is None:
            self.action_next_beam()
            return
        if self._pending is not None:
            return
        text = self._input.value.strip()
        if not text:
            self._pass_on()
            return
        try:
            reading = self._reading(text, "")
        except (Refused, Refusal) as refused:
            self.tell(said(refused), "wrong")
            return
        if self._lean_wanted(reading):
            self._pending = reading
            self._input.display = False
            self.set_focus(None)
            self._show()
            return
        self._save(reading)

    def action_lean(self, lean: str) -> None:
        """Which way the top of the wall leans, where that is asked."""
        if self._pending is not None:
            self._save(self._reading(self._pending.typed, lean))

    def _save(self, reading: Reading) -> None:
        assert self._asked is not None
        spot, what = self._asked
        if not self.desk_app.do(lambda record, _: take(record, spot, what, reading)):
            return
        beam = self.beam
        if doubtful := doubt(beam, beam.piece(spot.piece), what):
            self._ask(self._asked)
            self.tell(f"Saved, but doubtful: {doubtful}", "wrong")
            return
        self._ask(next_unread(self._record, self.spot.beam, self._asked))

    def _pass_on(self) -> None:
        """With nothing typed, go on to the next reading, taken or not."""
        turn = self._turn
        at = turn.index(self._asked) + 1 if self._asked in turn else 0
        unread = next_unread(self._record, self.spot.beam, self._asked)
        self._ask(turn[at] if at < len(turn) else unread if unread != self._asked else None)

    def action_back_one(self) -> None:
        """The reading before."""
        turn = self._turn
        if self._pending is not None:
            asked, typed = self._asked, self._pending.typed
            self._ask(asked)
            self._input.value = typed
        elif turn and self._may_leave():
            at = turn.index(self._asked) if self._asked in turn else len(turn)
            self._ask(turn[max(at - 1, 0)])

    def action_next_beam(self) -> None:
        """The next beam, at its first reading that was not taken."""
        if self._may_leave():
            row = next_beam(self._record, self.spot.beam, 1)
            first = next(iter(self._record.beam(row).pieces))
            self.spot = Spot(row, first)
            turn = self._turn
            self._ask(next_unread(self._record, row, None) or (turn[0] if turn else None))
            self.on_screen_resume()

    def action_whole(self) -> None:
        """Show the whole piece, with its drawing and steps."""
        from crewdesk.screens.piece import PiecePage

        if self._may_leave():
            self.app.push_screen(PiecePage(self.spot))

    def action_leave(self) -> None:
        """Back to where one came from."""
        if self._may_leave():
            self.app.pop_screen()

    def _may_leave(self) -> bool:
        """Whether nothing is typed that is not saved, or one was told so already."""
        if self._leaving or not (self._pending or self._input.value.strip()):
            self._leaving = False
            return True
        self._leaving = True
        self.tell("Typed and not saved: enter saves it, the same key again drops it.", "wrong")
        return False

    @on(Keypad.Pressed)
    def touched(self, event: Keypad.Pressed) -> None:
        """A key on the screen was touched."""
        event.stop()
        if event.key == ON:
            self.action_go_on()
        elif event.key == BACK:
            self.action_back_one()
        elif event.key in (IN, OUT):
            self.action_lean(event.key)
        elif event.key == RUBBED:
            self._input.action_delete_left()
        elif self._asked is not None and self._pending is None:
            self._input.insert_text_at_cursor(event.key)


def plain_lines(text: str) -> str:
    """A text of more than one line without what would upset a screen."""
    return "\n".join(map(plain, text.splitlines()))

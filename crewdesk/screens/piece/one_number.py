"""One reading at a time, in figures readable from a ladder, with the mark beside it."""

from collections.abc import Iterable
from functools import cached_property

from textual import on
from textual.containers import Horizontal
from textual.events import Resize
from textual.widget import Widget
from textual.widgets import Input

from crewdesk.errors import CrewdeskError
from crewdesk.job.beams.piece import Spot
from crewdesk.screens.parts.actions import key_words
from crewdesk.screens.parts.going import back_at
from crewdesk.screens.parts.page import Page
from crewdesk.screens.parts.program import ChangedRows
from crewdesk.screens.piece.beam_round import BeamRound
from crewdesk.screens.piece.number_panel import (
    BACK,
    IN,
    ON,
    OUT,
    RUBBED,
    Keypad,
    NumberPanel,
    Typed,
)
from crewdesk.screens.piece.numbers import BoardNumber, Number, Seen

_KEYPAD_FROM = (60, 20)
"""The columns and rows from which there are keys to touch."""
_TALL, _HUGE = 23, 34
"""The rows from which the figures are larger; with fewer than the first, the message has one line,
so that it covers no key."""
_ALL_READ = "All measured.  Enter: the next beam."
_SAVED_BY_WAY = "That key saved it already."
_NOT_WHOLE = (
    "Some spots of the ceiling aren't measured, so it isn't saved. The same key again discards it."
)


class OneNumberPage(Page):
    """Asks for one reading after the other; Enter saves it and goes to the next."""

    AUTO_FOCUS = ""
    AREA = "one-number"
    DEFAULT_CSS = """
    OneNumberPage Keypad { display: none; }
    OneNumberPage.low Told { max-height: 1; }
    OneNumberPage.low Told.wrong { max-height: 2; }
    OneNumberPage.tall NumberPanel #mark { height: 5; }
    OneNumberPage.huge NumberPanel #number { height: 5; }
    OneNumberPage.huge NumberPanel #mark { height: 10; }
    OneNumberPage.tall NumberPanel #beam { display: block; }
    OneNumberPage.huge NumberPanel #beam { height: 5; margin: 1 1; }
    """

    def __init__(self, spot: Spot) -> None:
        super().__init__()
        self._begin_at = spot
        self._pending = ""
        self._leaving = False
        self._by_way = ""

    # What it is about

    @cached_property
    def round(self) -> BeamRound:
        """The position."""
        return BeamRound(self.program, self._begin_at)

    @property
    def spot(self) -> Spot:
        """The current board."""
        return self.round.spot

    @property
    def where(self) -> str:
        name = self.program.record.job.name
        try:
            return f"{self.round.beam.label} · one number at a time   {name}"
        except CrewdeskError:
            return name

    def body(self) -> Iterable[Widget]:
        with Horizontal():
            yield NumberPanel()
            yield Keypad()

    @property
    def _input(self) -> Typed:
        return self.query_one(Typed)

    def on_mount(self) -> None:
        """Begin with the first missing reading of the piece, or of the beam."""
        self.round.begin()
        self._ask()

    @on(Resize)
    def resized(self, event: Resize) -> None:
        """Show the keys to touch, and larger figures, if there is room."""
        columns, rows = _KEYPAD_FROM
        roomy = event.size.width >= columns and event.size.height >= rows
        self.set_class(roomy, "roomy")
        self.set_class(event.size.height < _TALL, "low")
        self.set_class(event.size.height >= _TALL, "tall")
        self.set_class(event.size.height >= _HUGE, "huge")
        self._show()

    # What it asks and shows

    def _ask(self) -> None:
        """Ask for the next number."""
        self._pending, self._leaving, self._by_way = "", False, ""
        with self.prevent(Input.Changed):
            self._input.value = ""
        asked = self.round.asked is not None
        self.query_one(NumberPanel).show_entry(shown=asked)
        self.set_focus(self._input if asked else None)
        self._show()

    def record_changed(self, rows: ChangedRows) -> None:
        """Show the record; close if the beam is gone."""
        asked = self.round.asked
        try:
            self.round.again()
        except CrewdeskError as gone:
            if self.is_current:
                self.app.pop_screen()
                self.program.tell(str(gone))
            return
        if self.round.asked != asked:
            self._ask()
        self._show()

    @on(Input.Changed)
    def changed(self) -> None:
        """Show the resulting mark."""
        self._leaving, self._by_way = False, ""
        self._show()

    def _show(self) -> None:
        number, beam = self.round.number, self.round.beam
        if number is None:
            piece = beam.piece(self.spot.piece).name
            self.query_one(NumberPanel).tell(beam.label, piece, _ALL_READ, "", Seen())
            return
        text = self._input.value.strip()
        seen = number.look(text, way_asked=bool(self._pending))
        if self._pending:
            seen = seen._replace(hint=self.with_keys(number.question(self._pending)), wrong=True)
        self.query_one(Keypad).name_ways(number.ways)
        figures = text or number.latest
        place = self.round.place()
        self.query_one(NumberPanel).tell(beam.label, number.asks, place, figures, seen)

    # What the keys do

    @on(Input.Submitted)
    def action_go_on(self) -> None:
        number, text = self.round.number, self._input.value.strip()
        if self._by_way and not text:
            self.program.tell(f"{self._by_way} Press Enter again to go on.", "wrong")
            self._by_way = ""
        elif number is None:
            self.action_next_beam()
        elif self._pending:
            return
        elif not text:
            self._pass(number)
        else:
            self._take(number, text)

    def _pass(self, number: Number) -> None:
        """Skip the number; say that it is unmeasured, and which key returns to it."""
        wanted = self.round.wanted
        self.program.tell("")
        self.round.pass_on()
        self._ask()
        if wanted:
            key = key_words(self.program.key("one-number.back-one"))
            self.program.tell(f"Skipped, {key} goes back: {number.asks}")

    def _take(self, number: Number, text: str) -> None:
        try:
            asks_more = bool(number.question(text))
        except CrewdeskError as refused:
            self.tell(refused.shown(self.program.shown_step), "wrong")
            return
        if not asks_more:
            self._save(text, "")
            return
        self._pending = text
        self.query_one(NumberPanel).show_entry(shown=False)
        self.set_focus(None)
        self._show()

    def action_way(self, way: str) -> None:
        number = self.round.number
        if self._pending and number is not None and way in number.ways:
            self._save(self._pending, way)

    def _save(self, text: str, way: str) -> None:
        self.program.cuts_told = ""
        doubtful = self.round.save(text, way)
        if doubtful is None:
            return
        self._ask()
        if cuts := self.program.cuts_told:
            self.tell(f"Saved. {cuts}", "wrong")
        elif doubtful:
            self.tell(f"Saved, but in doubt: {doubtful}", "wrong")
        if way:
            self._by_way = f"Doubtful: {doubtful}" if doubtful else _SAVED_BY_WAY

    def action_back_one(self) -> None:
        if typed := self._pending:
            self._ask()
            self._input.value = typed
        elif self._may_leave():
            self.round.back()
            self._ask()
            self.program.tell("")

    def action_next_beam(self) -> None:
        if self._may_leave(of_beam=True):
            self.round.to_next_beam()
            self._ask()
            self.program.tell("")
            self.on_screen_resume()

    def action_whole(self) -> None:
        if self._may_leave():
            number = self.round.number or BoardNumber(self.program, self.spot, "run")
            number.open_whole()

    def lets_go(self) -> bool:
        return not self.round.unsaved or self._may_leave(of_beam=True)

    def action_leave(self) -> None:
        if self._may_leave(of_beam=True):
            back_at(self.program, self.spot)

    def _may_leave(self, *, of_beam: bool = False) -> bool:
        """Return whether the page may be left: nothing typed is unsaved, or the user was warned; on
        leaving the beam, also no heights of its ceiling."""
        typed = bool(self._pending or self._input.value.strip())
        if self._leaving or not (typed or (of_beam and self.round.unsaved)):
            self._leaving = False
            return True
        self._leaving = True
        text = "Not saved: Enter saves it, the same key again discards it."
        self.program.tell(text if typed else _NOT_WHOLE, "wrong")
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
            if (number := self.round.number) is not None:
                self.action_way(number.ways[event.key == OUT])
        elif event.key == RUBBED:
            self._input.action_delete_left()
        elif self.round.asked is not None and not self._pending:
            self._input.insert_text_at_cursor(event.key)

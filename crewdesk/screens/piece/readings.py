"""The lines of a piece's readings, their inputs, and the hint of the focused line."""

from collections.abc import Iterable, Mapping

from textual import on
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.events import Resize
from textual.message import Message
from textual.widget import Widget
from textual.widgets import Input, Label

from crewdesk.errors import BadInput, CrewdeskError
from crewdesk.job.beams.beam import Beam
from crewdesk.job.beams.piece import KIND_OF, Piece, Spot
from crewdesk.job.beams.plausibility import doubt
from crewdesk.job.beams.readings import (
    ENDS,
    NAMES,
    OF_KIND,
    OPTIONAL,
    READING_KINDS,
    Reading,
    level_typed,
)
from crewdesk.job.beams.take import takes_now
from crewdesk.job.books.shop_record import change_shop
from crewdesk.job.steps.gates import read_early
from crewdesk.length import DEFAULT_STEP, Step
from crewdesk.screens.parts.program import program
from crewdesk.screens.piece.numbers import BoardNumber, LeanUnknown, in_full
from crewdesk.screens.piece.reading_line import Field, ReadingLine
from crewdesk.trade.read_length import with_its_unit

_NO_LINES = {
    "cleats": "The cleats follow the sides: no readings.",
    "top": "The top board follows the sides: no readings.",
}
_ROOMY = 76
_LEVEL_WIDE = 17, 13
"""Columns for the level's length, and if there are fewer than `_ROOMY`."""
AWAY = Spot("", "")
"""The target of a user who leaves the page."""
_LEVEL = "Length of the level used for the gaps. Enter saves it for all jobs."


class Readings(Vertical):
    """The readings of a piece, and the level's length."""

    DEFAULT_CSS = """
    Readings { height: auto; background: $surface; }
    Readings #level { position: absolute; width: 17; height: 1;
                      background: $surface; }
    Readings #level Label { width: 8; padding: 0 1; color: $muted; }
    Readings #level Input { width: 8; background: $panel; }
    Readings #read-run .record { padding: 0 17 0 1; }
    Readings.narrow #read-run .record { padding: 0 13 0 1; }
    Readings.narrow #level { width: 13; }
    Readings.narrow #level Label { width: 6; padding: 0; }
    Readings.narrow #level Input { width: 7; }
    Readings #level Input:focus { background: $entry; }
    """

    class Saved(Message):
        """A line was entered and saved."""

    def __init__(self, spot: Spot, level: str) -> None:
        super().__init__(id="lines")
        self._level = level
        self._kind = KIND_OF[spot.piece]
        self._takes = OF_KIND[self._kind]
        self.spot = spot
        self.leaving: Spot | None = None

    def compose(self) -> ComposeResult:
        for what in NAMES:
            yield ReadingLine(what)
        with Horizontal(id="level"):
            yield Label("level")
            yield Field("level", self._level)

    @property
    def lines(self) -> list[ReadingLine]:
        """The lines of this piece's readings."""
        return [self.query_one(f"#read-{what}", ReadingLine) for what in self._takes]

    @property
    def fields(self) -> list[Input]:
        """The inputs, from the top."""
        level = [self.query_one("#type-level", Input)] if self._kind == "side" else []
        return [line.field for line in self.lines] + level

    @property
    def unread(self) -> list[ReadingLine]:
        """The lines with missing readings."""
        return [one for one in self.lines if one.latest is None and one.what not in OPTIONAL]

    @property
    def first(self) -> Input | None:
        """The first line with a missing reading, else the first line."""
        return next(iter([line.field for line in self.unread] or self.fields), None)

    @property
    def unsaved(self) -> list[ReadingLine]:
        """The lines with unsaved text."""
        return [line for line in self.lines if line.pending]

    @on(Resize)
    def resized(self, event: Resize) -> None:
        """Put the level's length at the right of the first line."""
        narrow = event.size.width < _ROOMY
        if narrow != self.has_class("narrow"):
            self.set_class(narrow, "narrow")
            for line in self.query(ReadingLine):
                line.show_saved(brief=narrow)
        wide = _LEVEL_WIDE[narrow]
        self.query_one("#level").styles.offset = (max(event.size.width - wide, 0), 0)

    def show(self, beam: Beam, piece: Piece, step: Step) -> None:
        """Show a piece's saved readings."""
        self._kind = piece.kind
        self._takes = takes_now(program(self).record.stages, piece)
        for what in NAMES:
            line = self.query_one(f"#read-{what}", ReadingLine)
            line.display = what in self._takes
            if line.display:
                line.show(BoardNumber(program(self), Spot(beam.row, piece.key), what))
        level = with_its_unit(program(self).shop.level, "in", step)
        if level != self._level:  # the setting changed; drop what is typed for it
            self._level = self.query_one("#type-level", Input).value = level
        self.query_one("#level").display = piece.kind == "side"

    def clear(self) -> None:
        """Forget what is typed."""
        for line in self.lines:
            line.clear()

    @property
    def level(self) -> str:
        """The level's length, as typed."""
        return self.query_one("#type-level", Input).value

    def typed(self) -> tuple[dict[str, Reading], str]:
        """Return the unsaved typed readings, and the error of the first invalid one."""
        typed: dict[str, Reading] = {}
        step = program(self).record.job.step
        if any(line.at_end for line in self.unsaved):
            try:
                level_typed(self.level, "mm" if step.mm else "in")
            except BadInput as refusal:
                return typed, f"level's length: {refusal.shown(step)}"
        for line in self.unsaved:
            try:
                typed[line.what] = line.reading(self.level)
            except CrewdeskError as refused:
                return typed, f"{NAMES[line.what]}: {refused.shown(step)}"
        return typed, ""

    def what_in(self, focused: Widget | None) -> str | None:
        """Return the reading, or the level, of the focused line."""
        what = focused.id.split("-")[-1] if focused is not None and focused.id else ""
        known = self._takes
        return what if what in known or (what == "level" and known) else None

    @on(ReadingLine.Entered)
    def entered(self, event: ReadingLine.Entered) -> None:
        """Save the line's reading, then any typed and left by Tab; go to the next line, or to the
        first doubtful one, to measure it again."""
        event.stop()
        line = event.line
        pending = [one for one in dict.fromkeys((line, *self.unsaved)) if one.pending]
        for one in pending:
            if not self._save(one):
                return
        lines = self.lines
        place = lines.index(line) + 1
        if doubted := next((one for one in lines if one in pending and _doubted(one)), None):
            doubted.field.focus()
        elif place < len(lines):
            lines[place].field.focus()
        elif not line.field.has_focus:
            line.field.focus()
        self.post_message(self.Saved())

    def _save(self, line: ReadingLine) -> bool:
        app, number = program(self), line.number
        assert number is not None
        try:
            reading = line.reading(self.level)
        except LeanUnknown as unknown:
            line.switch.focus()
            app.tell(str(unknown), "wrong")
            return False
        except CrewdeskError as refused:
            line.field.focus()
            app.tell(refused.shown(app.record.job.step), "wrong")
            return False
        if not number.keep(reading):
            return False
        line.clear()
        beam = app.record.beam(self.spot.beam)
        piece = beam.piece(self.spot.piece)
        if doubtful := number.doubt():
            below = doubtful == next(iter(doubts_of(beam, piece, {})))
            why = "the reason is below the readings." if below else doubtful
            doubtful_told = f"Saved, but in doubt: {why}"
            app.tell(f"Saved. {app.cuts_told}" if app.cuts_told else doubtful_told, "wrong")
        elif not app.cuts_told:
            early = read_early(app.record.stages, beam, piece)
            if why := next((one.why for one in early if one.what == line.what), ""):
                app.tell(f"Saved, but measured too early: {why}.", "wrong")
        return True

    @on(Input.Submitted, "#type-level")
    def keep_level(self, event: Input.Submitted) -> None:
        """Save the level's length in Business settings."""
        event.stop()
        app = program(self)
        unit = "mm" if app.record.job.step.mm else "in"
        level = with_its_unit(event.value.strip(), unit, DEFAULT_STEP)
        same = level == app.shop.level
        if not same and not app.do_shop(
            lambda books, now: change_shop(books, {"level": level}, now)
        ):
            return
        app.tell(
            f"The level in Business settings is {level} long now. Gaps typed from here on use it."
        )
        self.fields[0].focus()

    def go(self, by: int) -> None:
        """Move down by `by` lines."""
        whats = [(field.id or "").split("-")[-1] for field in self.fields]
        if (what := self.what_in(self.screen.focused)) in whats:
            place = whats.index(what) + by
            self.fields[max(0, min(place, len(whats) - 1))].focus()

    def may_leave(self, to: Spot) -> bool:
        """Return whether the page may be left: nothing typed is unsaved, or the user was warned on
        the way to the same piece; otherwise focus the unsaved line."""
        unsaved = self.unsaved
        if not unsaved or self.leaving == to:
            self.leaving = None
            return True
        self.leaving = to
        unsaved[0].field.focus()
        what = unsaved[0].what
        name = NAMES[what] if what in ENDS else f"The {NAMES[what]}"
        program(self).tell(
            f"{name[0].upper()}{name[1:]} isn't saved yet: Enter saves it, the same key "
            "again discards it.",
            "wrong",
        )
        return False


def _doubted(line: ReadingLine) -> bool:
    return line.number is not None and bool(line.number.doubt())


def doubts_of(beam: Beam, piece: Piece, typed: Mapping[str, Reading]) -> Iterable[str]:
    """Return doubts about a piece's readings, typed ones included."""
    for what in piece.takes:
        if (one := doubt(beam, piece, what, typed.get(what))) is not None:
            yield one


def hint_of(
    beam: Beam,
    piece: Piece,
    what: str | None,
    typed: Mapping[str, Reading],
    step: Step,
    *,
    timed: bool = False,
) -> str:
    """Return the hint of the focused line: the saved value, or how to measure."""
    if what == "level":
        return _LEVEL
    if what is None:
        return _NO_LINES.get(piece.kind, "")
    if what not in typed and piece.readings.get(what):
        return in_full(piece.readings[what], step, timed=timed)
    kind = READING_KINDS[what]
    return (beam.ceiling == "sloped" and kind.how_on_slope) or kind.how

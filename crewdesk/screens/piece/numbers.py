"""The readings of a beam, one number at a time: of a board, and of the ceiling over it."""

from dataclasses import dataclass, field
from datetime import datetime
from typing import NamedTuple

from crewdesk.errors import BadInput, CrewdeskError, NotAllowed
from crewdesk.job.beams.beam import Beam
from crewdesk.job.beams.missing import HEIGHT, Heights, OverBeam
from crewdesk.job.beams.piece import Piece, Spot
from crewdesk.job.beams.plausibility import doubt
from crewdesk.job.beams.readings import ENDS, READING_KINDS, Reading, reading_name
from crewdesk.job.beams.take import lean_in, take_typed, typed_reading
from crewdesk.job.cuts.bottoms import EDGE_B
from crewdesk.job.cuts.changed_cuts import shown_marks
from crewdesk.job.cuts.marks import BottomMarks
from crewdesk.job.cuts.scribing import check_place, read_ceiling, scribe_of, sides_under
from crewdesk.length import Step, show_length
from crewdesk.paper.lengths import with_unit
from crewdesk.paper.plain import plain
from crewdesk.paper.text.cutlist import missing_text, wall
from crewdesk.paper.text.mark_text import one_mark, other_marks
from crewdesk.paper.text.notes import caution_lines, gap_at, scribe_lines
from crewdesk.screens.parts.actions import with_keys
from crewdesk.screens.parts.program import Program
from crewdesk.trade.read_length import read_off, with_its_unit

WAYS = ("in", "out")
_LEANS = "Is the top of {wall} in or out?  {in}: in, toward the beam.  {out}: out."
_MORE = (
    "A dip or a bulge elsewhere? Type its place from end 1. Press Enter alone if there is no more."
)


class LeanUnknown(NotAllowed):
    """A gap was typed without the direction of the wall's lean."""


@dataclass
class Held:
    """Typed values of the whole beam that aren't saved: the square's leg, and the heights of an
    incomplete ceiling."""

    leg: str = ""
    heights: Heights = field(default_factory=Heights)


class Seen(NamedTuple):
    """The text beside a number: a hint, which may be an error; the board's mark, in words and
    figures; other marks, in lines."""

    hint: str = ""
    wrong: bool = False
    words: str = ""
    figures: str = ""
    lines: tuple[str, ...] = ()


class Number:
    """One number to measure: its words, its result, and how it is saved."""

    ways: tuple[str, str] = ("", "")
    """The two answers to a number's question, each a key."""

    def __init__(self, app: Program, row: str, held: Held) -> None:
        self._app, self._row, self._held = app, row, held

    @property
    def _beam(self) -> Beam:
        return self._app.record.beam(self._row)

    @property
    def _step(self) -> Step:
        return self._app.record.job.step

    @property
    def _unit(self) -> str:
        return "mm" if self._step.mm else "in"

    @property
    def asks(self) -> str:
        """The question, in one line."""
        raise NotImplementedError

    @property
    def latest(self) -> str:
        """The latest number, as shown; "" if there is none."""
        raise NotImplementedError

    def look(self, text: str, *, way_asked: bool = False) -> Seen:
        """Return the result of the typed text; `way_asked`: while `question` is shown."""
        try:
            return self.seen(text)
        except CrewdeskError as refused:
            return Seen(refused.shown(self._step), wrong=True)

    def seen(self, text: str) -> Seen:
        """Return the same; raises `NotAllowed` and `BadInput` for invalid text."""
        raise NotImplementedError

    def question(self, text: str) -> str:
        """Return the question that a number leaves open, answered by one of two keys; "" if none.
        Raises `NotAllowed` and `BadInput` for invalid text."""
        self.seen(text)
        return ""

    def save(self, text: str, way: str) -> bool:
        """Save the typed text, and show it; return False if it wasn't saved."""
        raise NotImplementedError

    def doubt(self) -> str:
        """Return why the saved number is implausible, or ""."""
        return ""

    def open_whole(self) -> None:
        """Show the page with all of its numbers."""
        raise NotImplementedError


class BoardNumber(Number):
    """One reading of one board; at an end, the wall's lean is asked for after its gap."""

    ways = WAYS

    def __init__(self, app: Program, spot: Spot, what: str) -> None:
        super().__init__(app, spot.beam, Held())
        self._spot, self._what = spot, what

    @property
    def _piece(self) -> Piece:
        return self._beam.piece(self._spot.piece)

    @property
    def asks(self) -> str:
        """The piece, the reading and, at an end, the wall's name."""
        name = self._beam.ends[ENDS.index(self._what)] if self._what in ENDS else ""
        what = reading_name(self._what, sloped=self._beam.ceiling == "sloped")
        return f"{self._piece.name} · {what}" + (f" · {name}" if name else "")

    @property
    def label(self) -> str:
        """The label of its field; at an end with the wall's name."""
        kind, sloped = READING_KINDS[self._what], self._beam.ceiling == "sloped"
        label = (sloped and kind.label_on_slope) or kind.label
        return f"{label}  {self._beam.ends[kind.wall - 1]}" if kind.wall else label

    @property
    def wall(self) -> str:
        """The wall it is measured at, or ""."""
        at = READING_KINDS[self._what].wall
        return wall(self._beam, at) if at else ""

    @property
    def reading_kept(self) -> Reading | None:
        """The record's latest reading."""
        return self._piece.latest(self._what)

    @property
    def latest(self) -> str:
        kept = self.reading_kept
        return "" if kept is None else show_length(kept.value, self._step)

    @property
    def brief(self) -> str:
        """The same with its lean and level."""
        kept = self.reading_kept
        return "" if kept is None else in_brief(kept, self._step)

    def saved(self, *, brief: bool) -> str:
        """What stands beside the reading of the record: its level, and the day it was taken,
        which alone is `brief`."""
        kept = self.reading_kept
        if kept is None:
            return "not measured"
        if brief:
            return day_shown(kept.when)
        over = f"over {show_length(kept.level, self._step)}, " if kept.lean else ""
        return f"{over}saved {day_shown(kept.when)}"

    def look(self, text: str, *, way_asked: bool = False) -> Seen:
        """Return the resulting mark; for an invalid number, the saved readings' mark."""
        beam, piece, typed, wrong = self._beam, self._piece, {}, ""
        if text and not way_asked:
            try:
                typed = {self._what: self.reading(text)}
            except LeanUnknown:
                pass
            except CrewdeskError as refused:
                wrong = refused.shown(self._step)
        doubtful = doubt(beam, piece, self._what, typed[self._what]) if typed else None
        hint = wrong or (f"Doubtful: {doubtful}" if doubtful else unread_hint(text, self.brief))
        return self._with_mark(Seen(hint, bool(wrong or doubtful)), typed)

    def _with_mark(self, seen: Seen, typed: dict[str, Reading]) -> Seen:
        beam, piece = self._beam, self._piece
        try:
            made = shown_marks(beam, piece, typed)
        except BadInput as refusal:
            return seen._replace(words=refusal.shown(self._step))
        if (found := one_mark(made, piece.key, self._what, self._step)) is not None:
            more = other_marks(made, beam, piece.key, self._step)
            lines = (piece.name, *more) if more else ()
            return seen._replace(words=f"mark on {found[0]}", figures=found[1], lines=lines)
        lacking = [one for one in piece.asked_for if one not in typed]
        if isinstance(made, BottomMarks) and made.asks:
            lacking.append(EDGE_B)
        text = "; ".join(missing_text(beam, piece.key, one) for one in lacking)
        return seen._replace(words=f"The mark needs: {text}" if text else "")

    def reading(self, text: str, lean: str = "", level: str | None = None) -> Reading:
        """Return the typed reading, over a level of that length or the usual one; without text the
        latest one, with another lean. Raises `BadInput`, `NotAllowed` or `LeanUnknown`."""
        app, kept = self._app, self.reading_kept
        if not text.strip() and kept is not None:
            return kept._replace(lean=lean, when=app.now(), who=app.shop.who or kept.who)
        if self._what in ENDS:
            text, typed = lean_in(text)
            lean = typed or lean
        reading = typed_reading(
            app.record,
            self._what,
            text,
            app.now(),
            lean=lean or "in",
            level=with_its_unit(app.shop.level, "in", self._step) if level is None else level,
            who=app.shop.who,
        )
        if self._what in ENDS and not lean and reading.value:
            ways = with_keys("{in} or {out}", "lean-of-a-wall", app.key)
            raise LeanUnknown(
                f"Is the top of {self.wall} in (toward the beam) or out? Press {ways} "
                "on the switch beside the gap."
            )
        return reading

    def question(self, text: str) -> str:
        """Return the question for the wall's lean, if its gap isn't zero."""
        try:
            self.reading(text)
        except LeanUnknown:
            return _LEANS.replace("{wall}", self.wall)
        return ""

    def save(self, text: str, way: str) -> bool:
        return self.keep(self.reading(text, way))

    def keep(self, reading: Reading) -> bool:
        """Save a reading; return False if it wasn't saved."""
        return self._app.do(lambda record, _: take_typed(record, self._spot, self._what, reading))

    def doubt(self) -> str:
        return doubt(self._beam, self._piece, self._what) or ""

    def open_whole(self) -> None:
        """Show the piece with its drawing and steps."""
        self._app.open("piece", self._spot)


class CeilingNumber(Number):
    """A height of the ceiling, or the place of one more spot. Heights are kept in memory until
    every spot has them, and saved with the last; from then on each is saved as it is typed."""

    def __init__(self, app: Program, one: OverBeam, held: Held) -> None:
        super().__init__(app, one.row, held)
        self._one = one

    @property
    def asks(self) -> str:
        """The side, and the distance from end 1."""
        if self._one.what != HEIGHT:
            return "ceiling · one more spot, from end 1"
        at = with_unit(self._one.at, self._step)
        return f"ceiling over {self._one.side} · {at} from end 1"

    @property
    def latest(self) -> str:
        """The latest height, typed or saved."""
        height = self._held.heights.height(self._beam, self._one.at, self._one.side)
        if self._one.what != HEIGHT or height is None:
            return ""
        return show_length(height, self._step)

    def _with(self, text: str) -> Heights:
        """Return the heights with the typed one; raises `BadInput`."""
        held, beam = self._held.heights, self._beam
        if not text:
            return held
        value = read_off(text, unit=self._unit)
        if self._one.what == HEIGHT:
            return held.with_height(beam, self._one.at, self._one.side, value)
        check_place(beam, value)
        return held.with_place(beam, value)

    def seen(self, text: str) -> Seen:
        """Return the resulting scribe."""
        heights = self._with(text)
        if self._one.what != HEIGHT:
            hint = "" if text else _MORE
        elif not text and not self.latest and not heights.typed:
            hint = f"{how_to_read(self._beam)}. Enter alone skips the ceiling."
        else:
            hint = unread_hint(text, self.latest)
        if not text and (self._one.at, self._one.side) in self._held.heights.typed:
            hint = "Saved once every spot is measured. Enter goes on."
        return self._with_scribe(Seen(hint), heights)

    def _with_scribe(self, seen: Seen, heights: Heights) -> Seen:
        beam, step, one = self._beam, self._step, self._one
        stations, places = heights.stations(beam), heights.places_over(beam)
        if not heights.whole(beam):
            text = f"The scribe needs every spot: {len(stations)} of {len(places)} measured"
            return seen._replace(words=text)
        try:
            made = scribe_of(beam, stations)
        except BadInput as refusal:
            return seen._replace(words=refusal.shown(step))
        assert made is not None
        here = gap_at(beam, made, one.side, one.at, step) if one.what == HEIGHT else []
        cautions = (f"! {plain(text)}" for text in caution_lines(beam, made))
        both = ", the same on both sides" if len(sides_under(beam)) > 1 else ""
        return seen._replace(
            words=f"scriber setting{both}",
            figures=show_length(made.setting, step),
            lines=(*here, *scribe_lines(made, step, beam)[1:], *cautions),
        )

    def question(self, text: str) -> str:
        """Return no question; raises `BadInput` for an invalid number."""
        self._with(text)
        return ""

    def save(self, text: str, way: str) -> bool:
        """Keep it, and save the ceiling once every spot is measured."""
        self._held.heights = heights = self._with(text)
        if not heights.whole(self._beam):
            self._app.tell("Held until every spot is measured.")
            return True
        return save_ceiling(self._app, self._one.row, self._held)

    def open_whole(self) -> None:
        """Show the page of the ceiling."""
        self._app.open("ceiling", self._one.row)


def how_to_read(beam: Beam) -> str:
    """Return how the ceiling over a beam is read: off which laser line, and over which sides."""
    over = "each side" if len(sides_under(beam)) != 1 else f"side {sides_under(beam)[0]}"
    if beam.ceiling == "sloped":
        return f"Laser line parallel to the slope; measure up square to it, over {over}"
    return f"Laser level at any height; measure up over {over}"


def save_ceiling(app: Program, row: str, held: Held) -> bool:
    """Save the spots with known heights, and drop the others."""
    stations, who = held.heights.stations(app.record.beam(row)), app.shop.who
    if not app.do(lambda record, now: read_ceiling(record, row, stations, now, who=who)):
        return False
    held.heights = Heights()
    return True


def unread_hint(text: str, standing: str, alone: str = "") -> str:
    """Return the hint beside an empty or valid number: the saved value, or that there is none, and
    the effect of Enter `alone`."""
    if text:
        return ""
    return f"Saved: {standing}. Enter goes on." if standing else f"Not measured. {alone}".strip()


def in_brief(reading: Reading, step: Step) -> str:
    """Return a reading in a few words: ``5/32 over 24, out``."""
    shown = show_length(reading.value, step)
    if not reading.lean:
        return shown
    lean = f", {reading.lean}" if reading.value else ", plumb"
    return f"{shown} over {show_length(reading.level, step)}{lean}"


def in_full(taken: tuple[Reading, ...], step: Step, *, timed: bool = False) -> str:
    """Return the latest reading with person, time and instrument, and the number of earlier
    ones."""
    latest = taken[-1]
    unit = "" if step.mm else " in"
    by = f" by {latest.who}" if latest.who else ""
    feet = "" if step.mm or latest.lean else f" ({show_length(latest.value, step, feet=True)})"
    value = in_brief(latest, step) if latest.lean else show_length(latest.value, step) + unit
    earlier = len(taken) - 1
    before = {0: "", 1: "; 1 earlier reading"}.get(earlier, f"; {earlier} earlier readings")
    when = day_shown(latest.when)
    if timed:
        when += f", {latest.when:%Y %H:%M}"
    return f"Saved: {value}{feet}, {latest.instrument}{by}, {when}{before}."


def day_shown(when: datetime) -> str:
    """Return a day of this year or another: ``Mar 5``."""
    return f"{when:%b} {when.day}"

"""What is read of a beam, one number at a time: of a board, and of the ceiling over it."""

from dataclasses import dataclass, field
from typing import NamedTuple

from crewdesk.errors import BadInput, CrewdeskError
from crewdesk.job.asked_in_turn import HEIGHT, OverBeam
from crewdesk.job.beam import Beam
from crewdesk.job.believable import doubt
from crewdesk.job.edges import EDGE_B
from crewdesk.job.heights import Heights
from crewdesk.job.marks import BottomMarks
from crewdesk.job.piece import Piece, Spot
from crewdesk.job.readings import ENDS, Reading, reading_name
from crewdesk.job.scribing import check_place, read_ceiling, scribe_of
from crewdesk.job.shown_marks import shown_marks
from crewdesk.job.take import take_typed, typed_reading
from crewdesk.job.under_ceiling import sides_under
from crewdesk.length import Step, show_length
from crewdesk.paper.cutlist import asked_told, wall
from crewdesk.paper.lengths import with_unit
from crewdesk.paper.one_mark import one_mark, other_marks
from crewdesk.paper.plain import plain
from crewdesk.paper.scribe_told import caution_lines, gap_at, scribe_lines
from crewdesk.screens.program import Program
from crewdesk.screens.reading_line import WAYS, in_brief
from crewdesk.trade.read_length import read_off, with_its_unit

_LEANS = "Which way does the top of {wall} lean?  {in}: in, towards the beam.  {out}: out."
_MORE = "A dip or a bulge elsewhere? Its place from end 1. Enter alone: no more."


@dataclass
class Held:
    """What is typed about the whole beam and not in the record: the square's leg, and the
    heights of a ceiling that is not read whole."""

    leg: str = ""
    heights: Heights = field(default_factory=Heights)


class Seen(NamedTuple):
    """What stands beside a number: a hint, which may be that something is wrong; the mark
    for the board, in words and in figures; what else is marked, in lines."""

    hint: str = ""
    wrong: bool = False
    words: str = ""
    figures: str = ""
    lines: tuple[str, ...] = ()


class Number:
    """One number of a beam as it is asked for: its words, what follows from it, its saving."""

    ways: tuple[str, str] = ("", "")
    """The two answers to the question that a number may leave open, each a key."""

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
        """What is asked for, in one line."""
        raise NotImplementedError

    @property
    def latest(self) -> str:
        """The number that counts now, as it is shown; "" where there is none."""
        raise NotImplementedError

    def look(self, text: str, *, way_asked: bool = False) -> Seen:
        """What follows from what is typed; `way_asked`: while `question` is on the screen."""
        try:
            return self.seen(text)
        except CrewdeskError as refused:
            return Seen(refused.shown(self._step), wrong=True)

    def seen(self, text: str) -> Seen:
        """The same; raises `NotAllowed` and `BadInput` where the text makes no sense."""
        raise NotImplementedError

    def question(self, text: str) -> str:
        """What must still be told of a number, by one of two keys; "" where it says all.
        Raises `NotAllowed` and `BadInput` where the text makes no sense."""
        self.seen(text)
        return ""

    def save(self, text: str, way: str) -> bool:
        """Save what was typed, and say so; False where it was not taken."""
        raise NotImplementedError

    def doubt(self) -> str:
        """Why what was saved is hard to believe, or ""."""
        return ""

    def open_whole(self) -> None:
        """Show the page with all that belongs to it."""
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
    def latest(self) -> str:
        latest = self._piece.latest(self._what)
        return "" if latest is None else show_length(latest.value, self._step)

    def look(self, text: str, *, way_asked: bool = False) -> Seen:
        """The mark as it would be; of a number that makes no sense, by those of the record."""
        beam, piece, typed, wrong = self._beam, self._piece, {}, ""
        if text and not way_asked:
            try:
                reading = self._reading(text, "")
                typed = {} if self._leans(reading) else {self._what: reading}
            except CrewdeskError as refused:
                wrong = refused.shown(self._step)
        doubtful = doubt(beam, piece, self._what, typed[self._what]) if typed else None
        latest = piece.latest(self._what)
        hint = unread_hint(text, "" if latest is None else in_brief(latest, self._step))
        hint = wrong or (f"Doubtful: {doubtful}" if doubtful else hint)
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
            return seen._replace(words=found[0], figures=found[1], lines=lines)
        lacking = [one for one in piece.asked_for if one not in typed]
        if isinstance(made, BottomMarks) and made.asks:
            lacking.append(EDGE_B)
        told = "; ".join(asked_told(beam, piece.key, one) for one in lacking)
        return seen._replace(words=f"The mark wants: {told}" if told else "")

    def _reading(self, text: str, lean: str) -> Reading:
        """The number as it is typed; a wall whose lean is not told yet is taken to lean in."""
        shop = self._app.desk.shop.shop()
        return typed_reading(
            self._app.record,
            self._what,
            text,
            self._app.now(),
            lean=(lean or "in") if self._what in ENDS else "",
            level=with_its_unit(shop.level, "in", self._step),
            who=shop.who,
        )

    def _leans(self, reading: Reading) -> bool:
        return self._what in ENDS and reading.value != 0

    def question(self, text: str) -> str:
        """Which way the wall leans, where its gap is not nothing."""
        if not self._leans(self._reading(text, "")):
            return ""
        return _LEANS.replace("{wall}", wall(self._beam, ENDS.index(self._what) + 1))

    def save(self, text: str, way: str) -> bool:
        reading = self._reading(text, way)
        return self._app.do(lambda record, _: take_typed(record, self._spot, self._what, reading))

    def doubt(self) -> str:
        return doubt(self._beam, self._piece, self._what) or ""

    def open_whole(self) -> None:
        """Show the piece with its drawing and steps."""
        self._app.open("piece", self._spot)


class CeilingNumber(Number):
    """A height of the ceiling, or the place of one more station. Heights are held until every
    station has them, and saved with the last; from then on each is saved as it is typed."""

    def __init__(self, app: Program, one: OverBeam, held: Held) -> None:
        super().__init__(app, one.row, held)
        self._one = one

    @property
    def asks(self) -> str:
        """Over which side, and how far from end 1."""
        if self._one.what != HEIGHT:
            return "ceiling · one more station, from end 1"
        at = with_unit(self._one.at, self._step)
        return f"ceiling over {self._one.side} · {at} from end 1"

    @property
    def latest(self) -> str:
        """The height that counts, typed or of the record."""
        height = self._held.heights.height(self._beam, self._one.at, self._one.side)
        if self._one.what != HEIGHT or height is None:
            return ""
        return show_length(height, self._step)

    def _with(self, text: str) -> Heights:
        """The heights with the one that is typed; raises `BadInput`."""
        held, beam = self._held.heights, self._beam
        if not text:
            return held
        value = read_off(text, unit=self._unit)
        if self._one.what == HEIGHT:
            return held.with_height(beam, self._one.at, self._one.side, value)
        check_place(beam, value)
        return held.with_place(beam, value)

    def seen(self, text: str) -> Seen:
        """The scribe as it would be."""
        heights = self._with(text)
        if self._one.what != HEIGHT:
            hint = "" if text else _MORE
        elif not text and not self.latest and not heights.typed:
            hint = f"{how_to_read(self._beam)}. Enter alone passes the ceiling."
        else:
            hint = unread_hint(text, self.latest)
        if not text and (self._one.at, self._one.side) in self._held.heights.typed:
            hint = "Typed, and saved once every station is read. Enter goes on."
        return self._with_scribe(Seen(hint), heights)

    def _with_scribe(self, seen: Seen, heights: Heights) -> Seen:
        beam, step, one = self._beam, self._step, self._one
        stations, places = heights.stations(beam), heights.places_over(beam)
        if not heights.whole(beam):
            told = f"The scribe wants every station: {len(stations)} of {len(places)} read"
            return seen._replace(words=told)
        try:
            made = scribe_of(beam, stations)
        except BadInput as refusal:
            return seen._replace(words=refusal.shown(step))
        assert made is not None
        here = gap_at(beam, made, one.side, one.at, step) if one.what == HEIGHT else []
        cautions = (f"! {plain(told)}" for told in caution_lines(beam, made))
        both = ", the same on both sides" if len(sides_under(beam)) > 1 else ""
        return seen._replace(
            words=f"scriber setting{both}",
            figures=show_length(made.setting, step),
            lines=(*here, *scribe_lines(made, step, beam)[1:], *cautions),
        )

    def question(self, text: str) -> str:
        """None; raises `BadInput` where the number makes no sense."""
        self._with(text)
        return ""

    def save(self, text: str, way: str) -> bool:
        """Hold it, and save the ceiling where every station is read."""
        self._held.heights = heights = self._with(text)
        if not heights.whole(self._beam):
            self._app.tell("Held until every station is read.")
            return True
        return save_ceiling(self._app, self._one.row, self._held)

    def open_whole(self) -> None:
        """Show the page of the ceiling."""
        self._app.open("ceiling", self._one.row)


def how_to_read(beam: Beam) -> str:
    """Return how the ceiling over a beam is read: off which laser line, and over which sides."""
    over = "each side" if len(sides_under(beam)) != 1 else f"side {sides_under(beam)[0]}"
    if beam.ceiling == "sloped":
        return f"Laser line parallel to the slope; read up square to it, over {over}"
    return f"Laser level at any height; read up over {over}"


def save_ceiling(app: Program, row: str, held: Held) -> bool:
    """Save the stations whose heights are known, and let go of the others."""
    stations, who = held.heights.stations(app.record.beam(row)), app.desk.shop.shop().who
    if not app.do(lambda record, now: read_ceiling(record, row, stations, now, who=who)):
        return False
    held.heights = Heights()
    return True


def unread_hint(text: str, standing: str, alone: str = "") -> str:
    """A hint beside an empty or a good number: what stands in the record, or that nothing does
    yet, with what Enter `alone` does then."""
    if text:
        return ""
    return (
        f"In the record: {standing}. Enter goes on."
        if standing
        else f"Not read yet. {alone}".strip()
    )

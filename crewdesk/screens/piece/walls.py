"""The walls at a beam's ends in plan, by the square: in one form, or one number at a time."""

from fractions import Fraction

from textual.content import Content

from crewdesk.errors import BadInput
from crewdesk.job.beams.beam import Beam
from crewdesk.job.beams.in_plan import TypedSquare, read_squares, typed_square, with_square
from crewdesk.job.beams.plausibility import doubtful_walls
from crewdesk.job.beams.readings import SQUARES
from crewdesk.job.change import Change
from crewdesk.length import Step, show_length, to_type
from crewdesk.paper.text.cutlist import wall
from crewdesk.paper.text.notes import wall_mark
from crewdesk.screens.parts.ask import Answer, Field, ask_change
from crewdesk.screens.parts.program import Program
from crewdesk.screens.piece.numbers import Held, Number, Seen, unread_hint
from crewdesk.screens.piece.templates import walls_in_plan
from crewdesk.trade.cuts.skew import SkewReading
from crewdesk.trade.read_length import read_length

_LONGER = "Which side runs longer before it meets {wall}?  {side-a}: side A.  {side-b}: side B."
_ABOUT = (
    "Hold the square's stock along the beam's line, its leg across at the wall. Measure the gap "
    "at the leg's end."
)
_ABOUT_SLOPED = (
    "Hold the square level, not along the slope: its stock straight below the beam's line, its leg "
    "across at the wall. Measure the gap at the leg's end."
)
USUAL_LEG = Fraction(24)
_PLAN, _AROUND = 62, 10
"""Columns of the walls in plan, and around it on a narrow screen."""


def _end(beam: Beam, end: int) -> str:
    """Return an end's number, then its wall's name, which may be cut."""
    name = beam.ends[end - 1]
    return f"end {end}: {name}" if name else f"end {end}"


def how_to_hold(beam: Beam) -> str:
    """Return how to hold the square and what to measure: always level, since the slope is added
    later."""
    return _ABOUT_SLOPED if beam.ceiling == "sloped" else _ABOUT


def ask_walls(app: Program, row: str) -> None:
    """Ask for the gap, the longer side and the leg at both ends; then save the readings."""
    beam = app.record.beam(row)
    step = app.record.job.step
    fields = []
    for end in (1, 2):
        read = beam.pair.square(end)
        gap, longer = (to_type(read.reading.gap, step), read.reading.longer) if read else ("", "")
        fields += [
            Field(f"gap{end}", f"Gap, {_end(beam, end)}", gap, "empty: not measured"),
            Field(f"longer{end}", "Longer side there", longer, answers=("A", "B")),
        ]
    fields.append(Field("leg", "The square's leg", to_type(USUAL_LEG, step)))

    def typed(answer: Answer) -> tuple[TypedSquare, ...]:
        return tuple(
            TypedSquare(end, answer[f"gap{end}"], answer["leg"], answer[f"longer{end}"])
            for end in (1, 2)
        )

    def live(answer: Answer) -> Content:
        gaps, longer = (
            (answer[f"{what}1"].strip(), answer[f"{what}2"].strip()) for what in ("gap", "longer")
        )
        sides = (longer[0].upper(), longer[1].upper())
        return walls_in_plan(gaps, sides, beam.ends, min(_PLAN, app.size.width - _AROUND))

    def doubt(_: Change) -> None:
        if not app.cuts_told and (why := doubtful_walls(app.record.beam(row))):
            app.tell(f"Saved, but in doubt: {why}", "wrong")

    who = app.shop.who
    ask_change(
        app,
        f"{beam.label}: the walls",
        fields,
        lambda record, answer, now: read_squares(record, row, typed(answer), now, who=who),
        then=doubt,
        about=how_to_hold(beam),
        live=live,
    )


class LegNumber(Number):
    """The length of the square's leg that gaps are measured over."""

    ways = ("A", "B")
    asks = "the square's leg"

    @property
    def latest(self) -> str:
        """The leg for the next gap."""
        return leg_of(self._beam, self._held, self._step)

    def seen(self, text: str) -> Seen:
        """Return whether it is valid."""
        if not text:
            return Seen("Enter goes on with this one.")
        leg = read_length(text, unit=self._unit)
        SkewReading(leg * 0, leg, "A")
        return Seen()

    def save(self, text: str, way: str) -> bool:
        """Keep it for the next gaps; it is saved with each."""
        self._held.leg = text
        return True

    def open_whole(self) -> None:
        """Ask for both walls in one form."""
        ask_walls(self._app, self._row)


class WallNumber(LegNumber):
    """The gap at the square's leg at one end; then the longer side."""

    def __init__(self, app: Program, row: str, what: str, held: Held) -> None:
        super().__init__(app, row, held)
        self._end = SQUARES.index(what) + 1

    @property
    def asks(self) -> str:  # type: ignore[override]
        """The wall, and the gap at the square's leg."""
        return f"gap at the square · {wall(self._beam, self._end)}"

    @property
    def latest(self) -> str:
        """The record's latest gap."""
        read = self._beam.pair.square(self._end)
        return "" if read is None else show_length(read.reading.gap, self._step)

    def seen(self, text: str) -> Seen:
        """Return what the wall requires of the sides' ends."""
        beam = self._beam
        read = beam.pair.square(self._end)
        standing = "" if read is None else _in_brief(read.reading, self._step)
        hint = unread_hint(text, standing, "Press Enter alone to skip a square wall.")
        if text:
            one = typed_square(self._app.record, self._typed(text, "A"), self._app.now())
            if one.reading.gap:
                leg = leg_of(beam, self._held, self._step)
                return Seen(hint or f"Over a leg of {leg}; the one before is the leg.")
            beam = with_square(beam, self._end, one)
        try:
            words, figures, lines = wall_mark(beam, self._end, self._step)
        except BadInput as refusal:
            words, figures, lines = refusal.shown(self._step), "", ()
        return Seen(hint, words=words, figures=figures, lines=lines)

    def _typed(self, text: str, longer: str) -> TypedSquare:
        leg = leg_of(self._beam, self._held, self._step)
        return TypedSquare(self._end, text, leg, longer)

    def question(self, text: str) -> str:
        """Return the question for the longer side, if there is a gap."""
        one = typed_square(self._app.record, self._typed(text, "A"), self._app.now())
        return _LONGER.replace("{wall}", wall(self._beam, self._end)) if one.reading.gap else ""

    def save(self, text: str, way: str) -> bool:
        who, typed = self._app.shop.who, (self._typed(text, way or "A"),)
        return self._app.do(
            lambda record, now: read_squares(record, self._row, typed, now, who=who)
        )

    def doubt(self) -> str:
        """Return why the squares contradict the sides' runs or the bottom's edges."""
        return doubtful_walls(self._beam) or ""


def leg_of(beam: Beam, held: Held, step: Step) -> str:
    """Return the square's leg as typed: the last one given, else this beam's, else the usual
    one."""
    read = beam.pair.square(2) or beam.pair.square(1)
    return held.leg or to_type(read.reading.leg if read else USUAL_LEG, step)


def _in_brief(reading: SkewReading, step: Step) -> str:
    longer = f", side {reading.longer} longer" if reading.gap else ", square"
    return f"{show_length(reading.gap, step)} over {show_length(reading.leg, step)}{longer}"

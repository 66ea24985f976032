"""The walls in plan as single numbers: the square's leg, and the gap at it at either end."""

from crewdesk.errors import BadInput, CrewdeskError
from crewdesk.job.beam import Beam
from crewdesk.job.believable import doubtful_walls
from crewdesk.job.in_plan import TypedSquare, read_squares, typed_square, with_square
from crewdesk.job.pair import SQUARES
from crewdesk.length import Step, show_length, to_type
from crewdesk.paper.cutlist import wall
from crewdesk.paper.plan_told import wall_mark
from crewdesk.screens.number_asked import Held, Seen, unread_hint
from crewdesk.screens.program import Program
from crewdesk.screens.walls import USUAL_LEG, ask_walls
from crewdesk.trade.cuts.skew import SkewReading
from crewdesk.trade.read_length import read_length

_LONGER = "Which side reaches farther before it meets {wall}?  {side-a}: side A.  {side-b}: side B."
_SIDES = ("A", "B")


class LegNumber:
    """How long the square's leg is over which the gaps are read."""

    ways = _SIDES

    def __init__(self, app: Program, row: str, held: Held) -> None:
        self._app, self._row, self._held = app, row, held

    @property
    def _step(self) -> Step:
        return self._app.record.job.step

    @property
    def asks(self) -> str:
        """That it is the square's."""
        return "the square's leg"

    @property
    def latest(self) -> str:
        """The leg that the next gap is read over."""
        return leg_of(self._app.record.beam(self._row), self._held, self._step)

    def look(self, text: str, *, way_asked: bool = False) -> Seen:
        """Whether it can be read."""
        try:
            return Seen("" if self._read(text) else "Enter goes on with this one.")
        except BadInput as refused:
            return Seen(refused.shown(self._step), wrong=True)

    def _read(self, text: str) -> bool:
        """Whether a leg is typed; raises `BadInput`."""
        if text:
            leg = read_length(text, unit="mm" if self._step.mm else "in")
            SkewReading(leg * 0, leg, "A")
        return bool(text)

    def question(self, text: str) -> str:
        """None; raises `BadInput` where the leg makes no sense."""
        self._read(text)
        return ""

    def save(self, text: str, way: str) -> bool:
        """Keep it for the gaps that are read next; it goes into the record with each."""
        self._held.leg = text
        return True

    def doubt(self) -> str:
        """Never any."""
        return ""

    def open_whole(self) -> None:
        """Ask for the walls in plan all at once."""
        ask_walls(self._app, self._row)


class WallNumber:
    """The gap at the square's leg at one end; then which side is the longer is asked for."""

    ways = _SIDES

    def __init__(self, app: Program, row: str, what: str, held: Held) -> None:
        self._app, self._row, self._held = app, row, held
        self._end = SQUARES.index(what) + 1

    @property
    def _beam(self) -> Beam:
        return self._app.record.beam(self._row)

    @property
    def _step(self) -> Step:
        return self._app.record.job.step

    @property
    def asks(self) -> str:
        """The wall, and that it is the gap at the square's leg."""
        return f"gap at the square · {wall(self._beam, self._end)}"

    @property
    def latest(self) -> str:
        """The gap of the record that counts."""
        read = self._beam.pair.square(self._end)
        return "" if read is None else show_length(read.reading.gap, self._step)

    def look(self, text: str, *, way_asked: bool = False) -> Seen:
        """What the wall asks of the sides' ends."""
        beam, leg = self._beam, leg_of(self._beam, self._held, self._step)
        read = beam.pair.square(self._end)
        standing = "" if read is None else _in_brief(read.reading, self._step)
        hint = unread_hint(text, standing, "Enter alone passes a wall that is square.")
        if text:
            try:
                one = typed_square(self._app.record, self._typed(text, "A"), self._app.now())
            except CrewdeskError as refused:
                return Seen(refused.shown(self._step), wrong=True)
            if one.reading.gap:
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
        """Which side is the longer, where there is a gap."""
        one = typed_square(self._app.record, self._typed(text, "A"), self._app.now())
        return _LONGER.replace("{wall}", wall(self._beam, self._end)) if one.reading.gap else ""

    def save(self, text: str, way: str) -> bool:
        """Take the reading."""
        who, typed = self._app.desk.shop.shop().who, (self._typed(text, way or "A"),)
        return self._app.do(
            lambda record, now: read_squares(record, self._row, typed, now, who=who)
        )

    def doubt(self) -> str:
        """Why the squares don't go with the sides' runs or the bottom's edges."""
        return doubtful_walls(self._beam) or ""

    def open_whole(self) -> None:
        """Ask for the walls in plan all at once."""
        ask_walls(self._app, self._row)


def leg_of(beam: Beam, held: Held, step: Step) -> str:
    """The square's leg as it is typed: the one given last, else the one that this beam's walls
    were read with, else the usual one."""
    read = beam.pair.square(2) or beam.pair.square(1)
    return held.leg or to_type(read.reading.leg if read else USUAL_LEG, step)


def _in_brief(reading: SkewReading, step: Step) -> str:
    longer = f", side {reading.longer} longer" if reading.gap else ", square"
    return f"{show_length(reading.gap, step)} over {show_length(reading.leg, step)}{longer}"

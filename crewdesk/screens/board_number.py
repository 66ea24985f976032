"""A board's reading as one number: its run, what an end shows, the length between the walls."""

from crewdesk.errors import BadInput, CrewdeskError
from crewdesk.job.beam import Beam
from crewdesk.job.believable import doubt
from crewdesk.job.edges import EDGE_B
from crewdesk.job.marks import BottomMarks
from crewdesk.job.piece import Piece, Spot
from crewdesk.job.readings import ENDS, Reading, reading_name
from crewdesk.job.shown_marks import shown_marks
from crewdesk.job.take import take_typed, typed_reading
from crewdesk.length import Step, show_length
from crewdesk.paper.cutlist import asked_told, wall
from crewdesk.paper.one_mark import one_mark, other_marks
from crewdesk.screens.lean_switch import WAYS
from crewdesk.screens.number_asked import Seen, unread_hint
from crewdesk.screens.program import Program
from crewdesk.screens.reading_line import in_brief
from crewdesk.trade.read_length import with_its_unit

_LEANS = "Which way does the top of {wall} lean?  {in}: in, towards the beam.  {out}: out."


class BoardNumber:
    """One reading of one board; at an end, the wall's lean is asked for after its gap."""

    ways = WAYS

    def __init__(self, app: Program, spot: Spot, what: str) -> None:
        self._app, self._spot, self._what = app, spot, what

    @property
    def _beam(self) -> Beam:
        return self._app.record.beam(self._spot.beam)

    @property
    def _piece(self) -> Piece:
        return self._beam.piece(self._spot.piece)

    @property
    def _step(self) -> Step:
        return self._app.record.job.step

    @property
    def asks(self) -> str:
        """The piece, the reading and, at an end, the wall's name."""
        name = self._beam.ends[ENDS.index(self._what)] if self._what in ENDS else ""
        what = reading_name(self._what, sloped=self._beam.ceiling == "sloped")
        return f"{self._piece.name} · {what}" + (f" · {name}" if name else "")

    @property
    def latest(self) -> str:
        """The reading of the record that counts."""
        latest = self._piece.latest(self._what)
        return "" if latest is None else show_length(latest.value, self._step)

    def look(self, text: str, *, way_asked: bool = False) -> Seen:
        """The mark as it would be."""
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
        """Take the reading."""
        reading = self._reading(text, way)
        return self._app.do(lambda record, _: take_typed(record, self._spot, self._what, reading))

    def doubt(self) -> str:
        """Why the reading is hard to believe."""
        return doubt(self._beam, self._piece, self._what) or ""

    def open_whole(self) -> None:
        """Show the piece with its drawing and steps."""
        self._app.open("piece", self._spot)

"""The sequence of a beam's numbers: the current one, the next, the one before."""

from fractions import Fraction
from itertools import groupby

from crewdesk.job.beams.beam import Beam
from crewdesk.job.beams.missing import (
    HEIGHT,
    LEG,
    STATION,
    Asked,
    OverBeam,
    asked_in_turn,
    next_beam,
    next_unread,
)
from crewdesk.job.beams.piece import Spot
from crewdesk.screens.parts.program import Program
from crewdesk.screens.piece.numbers import BoardNumber, CeilingNumber, Held, Number, save_ceiling
from crewdesk.screens.piece.walls import LegNumber, WallNumber


class BeamRound:
    """The position: `spot` is the current or last board, `asked` the number to measure, None if all
    of the beam were measured."""

    def __init__(self, app: Program, spot: Spot) -> None:
        self._app = app
        self.spot = spot
        self.asked: Asked | None = None
        self._passed: Asked | None = None
        self._held = Held()

    @property
    def beam(self) -> Beam:
        """The beam; raises `NotAllowed` if it was removed."""
        return self._app.record.beam(self.spot.beam)

    @property
    def turn(self) -> tuple[Asked, ...]:
        """Return every number of the beam."""
        return asked_in_turn(self._app.record, self.spot.beam, self._held.heights)

    @property
    def unsaved(self) -> bool:
        """Return whether heights of an incomplete ceiling are unsaved."""
        return bool(self._held.heights.typed)

    @property
    def number(self) -> Number | None:
        """The current number."""
        app, asked = self._app, self.asked
        if asked is None:
            return None
        if not isinstance(asked, OverBeam):
            return BoardNumber(app, *asked)
        if asked.of_ceiling:
            return CeilingNumber(app, asked, self._held)
        if asked.what == LEG:
            return LegNumber(app, asked.row, self._held)
        return WallNumber(app, asked.row, asked.what, self._held)

    def place(self) -> str:
        """Return the progress in this board, the walls or the ceiling, and what comes next."""
        turn = self.turn
        parts = [(part, len(list(of))) for part, of in groupby(turn, self._part)]
        at = turn.index(self.asked) if self.asked in turn else 0
        for place, (_, count) in enumerate(parts):
            if at < count:
                then = f" · then {parts[place + 1][0]}" if place + 1 < len(parts) else ""
                return f"{at + 1} of {count}{then}"
            at -= count
        return ""

    def _part(self, one: Asked) -> str:
        if isinstance(one, OverBeam):
            return "the ceiling" if one.of_ceiling else "the walls in plan"
        return self.beam.piece(one[0].piece).name

    def go(self, asked: Asked | None) -> None:
        """Go to that number."""
        self.asked, self._passed = asked, None
        if asked is not None and not isinstance(asked, OverBeam):
            self.spot = asked[0]

    def _unread(self, after: Asked | None) -> Asked | None:
        return next_unread(self._app.record, self.spot.beam, after, self._held.heights)

    def begin(self) -> None:
        """Go to the first missing reading of the board, or of the beam; if there is none, to the
        board's first."""
        own = [one for one in self.turn if one[0] == self.spot]
        piece = self.beam.piece(self.spot.piece)
        unread = [one for one in own if piece.latest(str(one[1])) is None]
        first = unread or ([] if self._unread(None) else own)
        self.go(first[0] if first else self._unread(None))

    def again(self) -> None:
        """Continue after a change elsewhere, at the same number if it still exists."""
        if self.asked is not None and self.asked not in self.turn:
            self.go(self._unread(None))

    def save(self, text: str, way: str) -> str | None:
        """Save a number and go to the next; if it is implausible, stay and say why. Return None if
        it wasn't saved."""
        number, asked = self.number, self.asked
        assert number is not None
        places = self._held.heights.places_over(self.beam)
        if not number.save(text, way):
            return None
        if doubtful := number.doubt():
            return doubtful
        new: list[Fraction] = []
        if isinstance(asked, OverBeam) and asked.what == STATION:
            new = [one for one in self._held.heights.places_over(self.beam) if one not in places]
        self.go(self._height_at(new[0]) if new else self._unread(asked))
        return ""

    def _height_at(self, at: Fraction) -> Asked | None:
        here = (one for one in self.turn if isinstance(one, OverBeam) and one.what == HEIGHT)
        return next((one for one in here if one.at == at), None)

    def pass_on(self) -> None:
        """Go to the next number without input, measured or not; skip a ceiling that isn't begun;
        leave its last spot with the heights so far."""
        passed = self.asked
        self._go_past()
        self._passed = passed

    @property
    def wanted(self) -> bool:
        """Return whether the current number is required and missing."""
        asked, number = self.asked, self.number
        may_stay = isinstance(asked, OverBeam) and asked.what in (LEG, STATION)
        return number is not None and not may_stay and not number.latest

    def _go_past(self) -> None:
        turn, asked = self.turn, self.asked
        if isinstance(asked, OverBeam) and asked.of_ceiling:
            if asked.what == STATION and self.unsaved:
                if save_ceiling(self._app, self.spot.beam, self._held):
                    self.go(self._unread(asked))
                return
            if not self.unsaved and self.beam.pair.ceiling is None:
                self.go(self._unread(OverBeam(asked.row, STATION)))
                return
        at = turn.index(asked) + 1 if asked in turn else 0
        unread = self._unread(asked)
        self.go(turn[at] if at < len(turn) else unread if unread != asked else None)

    def back(self) -> None:
        """Go to the number skipped just now, else to the number before."""
        if self._passed is not None and self._passed in self.turn:
            self.go(self._passed)
        elif turn := self.turn:
            at = turn.index(self.asked) if self.asked in turn else len(turn)
            self.go(turn[max(at - 1, 0)])

    def to_next_beam(self) -> None:
        """Go to the next beam's first missing reading; drop unsaved heights."""
        record = self._app.record
        row = next_beam(record, self.spot.beam, 1)
        self.spot = Spot(row, next(iter(record.beam(row).pieces)))
        self._held = Held(self._held.leg)
        self.go(self._unread(None) or next(iter(self.turn), None))

"""The ceiling as single numbers: its height over either side, station by station."""

from crewdesk.errors import BadInput
from crewdesk.job.asked_in_turn import HEIGHT, OverBeam
from crewdesk.job.beam import Beam
from crewdesk.job.heights import Heights
from crewdesk.job.scribing import check_place, read_ceiling, scribe_of
from crewdesk.job.under_ceiling import sides_under
from crewdesk.length import Step, show_length
from crewdesk.paper.lengths import with_unit
from crewdesk.paper.plain import plain
from crewdesk.paper.scribe_told import caution_lines, gap_at, scribe_lines
from crewdesk.screens.number_asked import Held, Seen, unread_hint
from crewdesk.screens.program import Program
from crewdesk.trade.read_length import read_off

_MORE = "A dip or a bulge elsewhere? Its place from end 1. Enter alone: no more."


def how_to_read(beam: Beam) -> str:
    """Return how the ceiling over a beam is read: off which laser line, and over which sides."""
    over = "each side" if len(sides_under(beam)) != 1 else f"side {sides_under(beam)[0]}"
    if beam.ceiling == "sloped":
        return f"Laser line parallel to the slope; read up square to it, over {over}"
    return f"Laser level at any height; read up over {over}"


class CeilingNumber:
    """A height of the ceiling, or the place of one more station. Heights are held until every
    station has them, and saved with the last; from then on each is saved as it is typed."""

    ways = ("", "")

    def __init__(self, app: Program, one: OverBeam, held: Held) -> None:
        self._app, self._one, self._held = app, one, held

    @property
    def _beam(self) -> Beam:
        return self._app.record.beam(self._one.row)

    @property
    def _step(self) -> Step:
        return self._app.record.job.step

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
        known = self._one.what == HEIGHT and height is not None
        return show_length(height, self._step) if known and height is not None else ""

    def _with(self, text: str) -> Heights:
        """The heights with the one that is typed; raises `BadInput`."""
        held, beam = self._held.heights, self._beam
        if not text:
            return held
        value = read_off(text, unit="mm" if self._step.mm else "in")
        if self._one.what == HEIGHT:
            return held.with_height(beam, self._one.at, self._one.side, value)
        check_place(beam, value)
        return held.with_place(beam, value)

    def look(self, text: str, *, way_asked: bool = False) -> Seen:
        """The scribe as it would be."""
        try:
            heights = self._with(text)
        except BadInput as refused:
            return Seen(refused.shown(self._step), wrong=True)
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
        beam, step = self._beam, self._step
        stations, places = heights.stations(beam), heights.places_over(beam)
        if not heights.whole(beam):
            told = f"The scribe wants every station: {len(stations)} of {len(places)} read"
            return seen._replace(words=told)
        try:
            made = scribe_of(beam, stations)
        except BadInput as refusal:
            return seen._replace(words=refusal.shown(step))
        assert made is not None
        one = self._one
        here = gap_at(beam, made, one.side, one.at, step) if one.what == HEIGHT else []
        cautions = (f"! {plain(one)}" for one in caution_lines(beam, made))
        return seen._replace(
            words="scriber setting, the same on both sides"
            if len(sides_under(beam)) > 1
            else "scriber setting",
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

    def doubt(self) -> str:
        """Never any: what can't be is refused."""
        return ""

    def open_whole(self) -> None:
        """Show the page of the ceiling."""
        self._app.open("ceiling", self._one.row)


def save_ceiling(app: Program, row: str, held: Held) -> bool:
    """Save the stations whose heights are known, and let go of the others."""
    stations, who = held.heights.stations(app.record.beam(row)), app.desk.shop.shop().who
    if not app.do(lambda record, now: read_ceiling(record, row, stations, now, who=who)):
        return False
    held.heights = Heights()
    return True

"""Look up a beam's readings and marks from anywhere with two keys."""

from textual import on
from textual.app import ComposeResult
from textual.containers import Vertical, VerticalScroll
from textual.widgets import Input, Label, Static

from crewdesk.errors import BadInput, CrewdeskError
from crewdesk.job.beams.beam import Beam
from crewdesk.job.beams.piece import Piece, Spot
from crewdesk.job.beams.readings import READING_KINDS
from crewdesk.job.cuts.changed_cuts import shown_marks
from crewdesk.job.findable import beams_like
from crewdesk.job.record import Record
from crewdesk.length import show_length
from crewdesk.paper.plain import plain
from crewdesk.paper.text.cutlist import missing_of, missing_text
from crewdesk.paper.text.mark_text import one_mark
from crewdesk.screens.parts.figure import BigFigures
from crewdesk.screens.parts.program import Program
from crewdesk.screens.parts.sheet import Sheet
from crewdesk.screens.parts.terminal import TypedLine
from crewdesk.screens.piece.tall_figures import Tall, TallFigures
from crewdesk.screens.piece.to_the_saw import figures_of

_KEYS = "{next-piece}, {previous-piece}: pieces.  {next}: beams.  Enter: its page.  {leave}: leave."
_AROUND = 12
"""Rows for everything except the piece's figures: frame, input, beam, rest."""
_MAIN = 2
"""The figures of a piece without readings."""


class LookUp(Sheet[None]):
    """The chosen beam, a piece at a time: its reading and mark in tall figures, and below them the
    other readings and cuts."""

    AREA = "look-up"
    DEFAULT_CSS = """
    LookUp .question { width: 96; height: 92%; padding: 0 1; }
    LookUp TypedLine { background: $panel; }
    LookUp #beam { height: 3; color: $foreground; }
    LookUp #name { width: 100%; height: 1; color: $foreground; text-style: bold; text-wrap: nowrap;
                   text-overflow: ellipsis; }
    LookUp TallFigures { padding: 0; }
    LookUp VerticalScroll { height: 1fr; scrollbar-size-vertical: 1; }
    LookUp #told { padding: 0 1 0 0; }
    LookUp #told { color: $muted; }
    LookUp .question .about { margin: 0; height: 1; }
    """

    def __init__(self, record: Record, job: str, near: str) -> None:
        super().__init__()
        self._record = record
        self._job = job
        self._near = near
        self._beams: tuple[Beam, ...] = ()
        self._at = 0
        self._piece = 0

    def compose(self) -> ComposeResult:
        with Vertical(classes="question"):
            yield TypedLine(
                placeholder="which beam: its number or name, and its room", compact=True
            )
            yield BigFigures(id="beam")
            yield Label(id="name", markup=False)
            yield TallFigures(id="figures")
            with VerticalScroll(can_focus=False):
                yield Static(id="told", markup=False)
            yield Static(self.with_keys(_KEYS), classes="about keys", markup=False)

    def on_mount(self) -> None:
        """Begin with the current beam."""
        self.query_one(TypedLine).focus()
        self._find()

    @on(Input.Changed)
    def _find(self) -> None:
        self._beams = beams_like(self._record, self.query_one(TypedLine).value, self._near)
        self._at = self._piece = 0
        self._show()

    def on_resize(self) -> None:
        """Fit the figures to another size."""
        self.call_after_refresh(self._show)

    def _show(self) -> None:
        name, told = self.query_one("#name", Label), self.query_one("#told", Static)
        figures, tall = self.query_one(TallFigures), self.query_one("#beam", BigFigures)
        width = self.query_one(VerticalScroll).size.width - 1
        if not self._beams:
            tall.show("")
            name.update("No such beam")
            figures.show((), width, 0)
            told.update("")
            return
        beam, record = self._beams[self._at], self._record
        pieces = list(beam.pieces.values())
        piece = pieces[self._piece]
        tall.show(plain(beam.label))
        place = f"   beam {self._at + 1} of {len(self._beams)}" if len(self._beams) > 1 else ""
        which = f"{piece.name}, piece {self._piece + 1} of {len(pieces)}"
        name.update(plain(f"{beam.label} · {which}   {record.job.name}{place}"))
        rows = max(self.size.height - _AROUND, 1)
        figures.show(_figures(record, beam, piece), width, rows)
        told.update(plain(_unmeasured(beam, piece)))
        self.query_one(VerticalScroll).scroll_home(animate=False)

    def action_turn(self, by: int) -> None:
        if self._beams:
            self._at, self._piece = (self._at + by) % len(self._beams), 0
            self._show()

    def action_piece(self, by: int) -> None:
        if self._beams:
            self._piece = (self._piece + by) % len(self._beams[self._at].pieces)
            self._show()

    def action_scroll(self, by: int) -> None:
        self.query_one(VerticalScroll).scroll_relative(y=by, animate=False)

    @on(Input.Submitted)
    def open(self) -> None:
        """Open the piece that is shown."""
        if self._beams:
            beam = self._beams[self._at]
            app = self.program
            self.dismiss()
            spot = Spot(beam.row, list(beam.pieces)[self._piece])
            app.call_later(app.go_to, self._job, spot)


def _figures(record: Record, beam: Beam, piece: Piece) -> list[Tall]:
    """Return the piece's first reading and its mark, else its first figures."""
    step, found = record.job.step, []
    what = next((one for one in piece.takes if piece.latest(one) is not None), "")
    try:
        made = shown_marks(beam, piece, {}, beam.habits.cleat)
        if (latest := piece.latest(what) if what else None) is not None:
            shown = show_length(latest.value, step).removesuffix(" mm")
            kind, sloped = READING_KINDS[what], beam.ceiling == "sloped"
            label = (sloped and kind.label_on_slope) or kind.label
            found.append(Tall(f"measured {label}", shown, large=True))
        if what and (mark := one_mark(made, piece.key, what, step)) is not None:
            found = [one._replace(large=False) for one in found]
            found.append(Tall(mark[0], mark[1].removesuffix(" mm"), now=True))
        if not found:
            found = [
                one._replace(now=at == 0, large=at == 1)
                for at, one in enumerate(figures_of(beam, piece, made, None, step, ())[:_MAIN])
            ]
    except BadInput:
        pass
    return found


def _unmeasured(beam: Beam, piece: Piece) -> str:
    """What isn't measured of a piece, in a sentence, or ""."""
    missing = [missing_text(beam, key, what) for key, what in missing_of(beam, piece)]
    return f"Not measured: {'; '.join(missing)}." if missing else ""


def open_look_up(app: Program) -> None:
    """Show the look-up over the screen in front: of the open job, else of the last one."""
    if app.job is not None:
        app.push_screen(LookUp(app.record, "", _at_hand(app)))
        return
    last = next((one for one in app.listed if not one.trouble), None)
    if last is None:
        app.tell("There is no job to look a beam up in. Start one first.", "wrong")
        return
    try:
        record = app.desk.open(last.id, writing=False).record
    except CrewdeskError as refused:
        app.tell(str(refused), "wrong")
        return
    app.push_screen(LookUp(record, last.id, ""))


def _at_hand(app: Program) -> str:
    """Return the row of the beam of the page in front, or under the run sheet's cursor."""
    for screen in reversed(app.screen_stack):
        spot = getattr(screen, "spot", None)
        if isinstance(spot, Spot):
            return spot.beam
    return ""

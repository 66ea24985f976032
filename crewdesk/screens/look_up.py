"""A beam's readings and marks in two keys, from anywhere: the look-up on the ladder."""

from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical, VerticalScroll
from textual.content import Content
from textual.widgets import Input, Label, Static

from crewdesk.errors import CrewdeskError
from crewdesk.job.beams.beam import Beam
from crewdesk.job.beams.piece import Spot
from crewdesk.job.beams.readings import NAMES
from crewdesk.job.findable import beams_like
from crewdesk.job.record import Record
from crewdesk.paper.plain import plain
from crewdesk.paper.text.cutlist import piece_lines
from crewdesk.screens.parts.program import Program
from crewdesk.screens.parts.sheet import Sheet
from crewdesk.screens.parts.terminal import TypedLine
from crewdesk.screens.piece.numbers import in_brief
from crewdesk.trade.cuts.shop_machine import ShopMachine

_KEYS = "{next}, {previous}: other beams.  Enter: its page.  {leave}: leave."


class Which(TypedLine):
    """Where one types which beam is meant."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "screen.scroll(-3)", show=False),
        Binding("down", "screen.scroll(3)", show=False),
    ]


class LookUp(Sheet[None]):
    """The beam that is meant, with all that was read and what it is cut to."""

    AREA = "look-up"
    DEFAULT_CSS = """
    LookUp .question { width: 84; height: 92%; padding: 0 1; }
    LookUp Which { background: $panel; }
    LookUp #beam { color: $primary; text-style: bold; margin: 1 0 0 0; }
    LookUp VerticalScroll { height: 1fr; scrollbar-size-vertical: 1; }
    LookUp .about { margin: 0; }
    """

    def __init__(self, record: Record, job: str, near: str) -> None:
        super().__init__()
        self._record = record
        self._job = job
        self._near = near
        self._beams: tuple[Beam, ...] = ()
        self._at = 0

    def compose(self) -> ComposeResult:
        with Vertical(classes="question"):
            yield Which(placeholder="which beam: its number or name, and its room", compact=True)
            yield Label(id="beam", markup=False)
            with VerticalScroll(can_focus=False):
                yield Static(id="told", markup=False)
            yield Static(self.with_keys(_KEYS), classes="about keys", markup=False)

    def on_mount(self) -> None:
        """Begin with the beam that is at hand."""
        self.query_one(Which).focus()
        self._find()

    @on(Input.Changed)
    def _find(self) -> None:
        self._beams = beams_like(self._record, self.query_one(Which).value, self._near)
        self._at = 0
        self._show()

    def _show(self) -> None:
        head, told = self.query_one("#beam", Label), self.query_one("#told", Static)
        if not self._beams:
            head.update("No such beam")
            told.update("")
            return
        beam = self._beams[self._at]
        place = f"  {self._at + 1} of {len(self._beams)}" if len(self._beams) > 1 else ""
        head.update(plain(f"{beam.label}   {self._record.job.name}{place}"))
        machine = self.program.shop.machine
        told.update(Content("\n").join(_told(self._record, beam, machine)))
        self.query_one(VerticalScroll).scroll_home(animate=False)

    def action_turn(self, by: int) -> None:
        if self._beams:
            self._at = (self._at + by) % len(self._beams)
            self._show()

    def action_scroll(self, by: int) -> None:
        self.query_one(VerticalScroll).scroll_relative(y=by, animate=False)

    @on(Input.Submitted)
    def open(self) -> None:
        """Go to the first piece of the beam."""
        if self._beams:
            beam = self._beams[self._at]
            app = self.program
            self.dismiss()
            spot = Spot(beam.row, next(iter(beam.pieces)))
            app.call_later(app.go_to, self._job, spot)


def _told(record: Record, beam: Beam, machine: ShopMachine) -> list[Content]:
    """What was read of each piece, and its marks."""
    lines = []
    for piece in beam.pieces.values():
        lines.append(Content.styled(piece.name, "$secondary bold"))
        for what in piece.takes:
            if (latest := piece.latest(what)) is not None:
                value = plain(in_brief(latest, record.job.step))
                lines.append(Content.assemble(f"  {NAMES[what]}  ", (value, "bold")))
        lines += [Content(plain(f"  {line}")) for line in piece_lines(record, beam, piece, machine)]
    return lines


def open_look_up(app: Program) -> None:
    """Show the look-up over whatever is in front: of the open job, else of the last one."""
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
    """The row of the beam that the page in front is about, or of the cursor on the run sheet."""
    for screen in reversed(app.screen_stack):
        spot = getattr(screen, "spot", None)
        if isinstance(spot, Spot):
            return spot.beam
    return ""

"""A batch before it is ticked: every ready piece, each of which can be left out."""

from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.screen import ModalScreen
from textual.widgets import Button, Label, SelectionList, Static
from textual.widgets.selection_list import Selection

from crewdesk.job.record import Record
from crewdesk.job.run_sheet import Batch
from crewdesk.job.ticks import Spot
from crewdesk.screens.words import plain


class BatchSheet(ModalScreen[tuple[Spot, ...] | None]):
    """The pieces of a batch; enter ticks all that are marked."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "give", "Tick them", priority=True),
        Binding("escape", "leave", "Leave"),
    ]
    DEFAULT_CSS = """
    BatchSheet SelectionList { height: auto; max-height: 50vh; background: $surface; padding: 0; }
    BatchSheet SelectionList, BatchSheet SelectionList:focus { border: none; }
    """

    def __init__(self, record: Record, batch: Batch) -> None:
        super().__init__()
        self._record = record
        self._batch = batch

    def compose(self) -> ComposeResult:
        batch = self._batch
        with Vertical(classes="question"):
            yield Label(plain(f"{batch.stage.name}: {batch.step.name}"), classes="title")
            yield Static("Space leaves a piece out or takes it in.", classes="about")
            yield SelectionList[int](
                *(Selection(self._told(spot), n, True) for n, spot in enumerate(batch.spots))
            )
            yield Button(f"Tick {len(batch.spots)} pieces  (Enter)", variant="primary")
            yield Static("Esc leaves it as it was.", classes="about")

    def _told(self, spot: Spot) -> str:
        beam = self._record.beam(spot.beam)
        return plain(f"{beam.label} · {beam.piece(spot.piece).name}").replace("[", "\\[")

    @on(SelectionList.SelectedChanged)
    def counted(self) -> None:
        """Say how many are marked."""
        count = len(self.query_one(SelectionList).selected)
        self.query_one(Button).label = f"Tick {count} pieces  (Enter)"

    @on(Button.Pressed)
    def action_give(self) -> None:
        """Tick what is marked."""
        marked = set(self.query_one(SelectionList).selected)
        self.dismiss(tuple(s for n, s in enumerate(self._batch.spots) if n in marked))

    def action_leave(self) -> None:
        """Leave everything as it was."""
        self.dismiss(None)

"""Which pieces a time entry was spent on: some, the whole batch, or none told."""

from collections.abc import Iterable

from textual.widget import Widget
from textual.widgets import Static

from crewdesk.job.clock import mend
from crewdesk.job.entry import Entry
from crewdesk.job.piece import Spot
from crewdesk.screens.lines import Lines
from crewdesk.screens.sheet import MarkSheet


class PiecesSheet(MarkSheet[None, Spot]):
    """Every piece of the job, those of the entry marked."""

    AREA = "pieces-of-an-entry"
    KEYS = (
        "{in-or-out}: in or out.  {all-pieces}: all.  {no-piece}: none.  {keep}: keep.  "
        "{leave}: leave."
    )
    asks = "Which pieces was it for?"

    def __init__(self, entry: Entry) -> None:
        super().__init__()
        self._entry = entry
        self.marked = set(entry.pieces or ())

    def body(self) -> Iterable[Widget]:
        yield Lines()
        yield Static(id="count", classes="about", markup=False)

    def things(self) -> Iterable[tuple[str, str, Spot | None]]:
        for beam in self.desk_app.record.beams:
            yield "", beam.label, None
            for key, piece in beam.pieces.items():
                yield f"{beam.row} {key}", piece.name, Spot(beam.row, key)

    def show(self) -> None:
        super().show()
        count = len(self.marked)
        told = f"{count} piece{'' if count == 1 else 's'}" if count else "No piece told"
        self.query_one("#count", Static).update(told)

    @property
    def _every(self) -> list[Spot]:
        return [one for _, _, one in self.things() if one is not None]

    def action_all(self) -> None:
        self.marked = set(self._every)
        self.show()

    def action_none(self) -> None:
        self.marked = set()
        self.show()

    def action_keep(self) -> None:
        app, row = self.desk_app, self._entry.row
        spots = tuple(spot for spot in self._every if spot in self.marked)
        self.dismiss()
        if set(spots) != set(self._entry.pieces or ()):
            app.do(lambda record, now: mend(record, row, now, pieces=spots))

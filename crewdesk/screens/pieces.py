"""Which pieces a time entry was spent on: some, the whole batch, or none told."""

from textual import on
from textual.app import ComposeResult
from textual.containers import Vertical
from textual.widgets import Label, Static

from crewdesk.job.clock import mend
from crewdesk.job.entry import Entry
from crewdesk.job.piece import Spot
from crewdesk.paper.plain import plain
from crewdesk.screens.ask import Question
from crewdesk.screens.lines import Lines, Row
from crewdesk.screens.named_keys import NamedKeys

_KEYS = (
    "{in-or-out}: in or out.  {all-pieces}: all.  {no-piece}: none.  {keep}: keep.  {leave}: leave."
)


class PiecesSheet(NamedKeys, Question[None]):
    """Every piece of the job, those of the entry marked."""

    AREA = "pieces-of-an-entry"
    DEFAULT_CSS = """
    PiecesSheet Lines { height: auto; max-height: 60vh; background: $surface; }
    """

    def __init__(self, entry: Entry) -> None:
        super().__init__()
        self._entry = entry
        self._chosen = set(entry.pieces or ())

    def compose(self) -> ComposeResult:
        with Vertical(classes="question"):
            yield Label("Which pieces was it for?", classes="title")
            yield Lines()
            yield Static(id="count", classes="about", markup=False)
            yield Static(self.with_keys(_KEYS), classes="about keys", markup=False)

    def on_mount(self) -> None:
        """Show the pieces."""
        lines = self.query_one(Lines)
        self._show()
        lines.styles.height = len(lines.rows)
        lines.focus()

    def _show(self) -> None:
        rows: list[Row] = []
        for beam in self.desk_app.record.beams:
            rows.append(Row(((plain(beam.label), "head"),)))
            for key, piece in beam.pieces.items():
                marked = Spot(beam.row, key) in self._chosen
                rows.append(
                    Row(
                        (
                            (f"  {'■' if marked else '□'} ", "running" if marked else "muted"),
                            (piece.name, "text"),
                        ),
                        f"{beam.row} {key}",
                    )
                )
        self.query_one(Lines).show(rows)
        count = len(self._chosen)
        told = f"{count} piece{'' if count == 1 else 's'}" if count else "No piece told"
        self.query_one("#count", Static).update(told)

    @on(Lines.Chosen)
    def action_turn(self) -> None:
        key = self.query_one(Lines).key
        if key:
            self._chosen ^= {Spot(*key.split(" ", 1))}
            self._show()

    def action_all(self) -> None:
        self._chosen = {
            Spot(beam.row, key) for beam in self.desk_app.record.beams for key in beam.pieces
        }
        self._show()

    def action_none(self) -> None:
        self._chosen = set()
        self._show()

    def action_keep(self) -> None:
        app, row = self.desk_app, self._entry.row
        order = [Spot(beam.row, key) for beam in app.record.beams for key in beam.pieces]
        spots = tuple(spot for spot in order if spot in self._chosen)
        self.dismiss()
        if set(spots) != set(self._entry.pieces or ()):
            app.do(lambda record, now: mend(record, row, now, pieces=spots))

    def action_leave(self) -> None:
        self.dismiss()

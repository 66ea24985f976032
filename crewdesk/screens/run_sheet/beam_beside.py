"""Beside the run sheet where the terminal is wide: the beam under the cursor, drawn, and what is
ready to batch."""

from contextlib import suppress
from functools import partial

from textual.app import ComposeResult
from textual.containers import Vertical
from textual.widgets import Static

from crewdesk.errors import BadInput
from crewdesk.job.beams.beam import Beam
from crewdesk.job.beams.piece import Piece
from crewdesk.job.cuts.changed_cuts import shown_marks
from crewdesk.job.cuts.marks import Marks, SideMarks, as_it_is
from crewdesk.job.cuts.section_shapes import section_shapes
from crewdesk.job.record import Record
from crewdesk.job.steps.run_sheet import Batch
from crewdesk.paper.plain import plain
from crewdesk.screens.parts.inked import inked
from crewdesk.screens.parts.lines import SIGNS
from crewdesk.screens.parts.picture import Draw, Picture
from crewdesk.screens.parts.stick import Part, ruled
from crewdesk.trade.cuts.side_board import Side


class BeamBeside(Vertical):
    """The beam's section, the board under the cursor, and a short list of what is ready."""

    DEFAULT_CSS = """
    BeamBeside { width: 44; height: 100%; background: $surface; padding: 0 1; }
    BeamBeside > Static { height: 1; text-wrap: nowrap; }
    BeamBeside > Picture { padding: 0; }
    BeamBeside > Picture > .picture--mark { color: $dimension; }
    BeamBeside > Picture > .picture--cleat { color: $wall; }
    BeamBeside > #section { height: 12; }
    BeamBeside > #board { height: 8; }
    BeamBeside > #ready { height: 1fr; margin-top: 1; }
    BeamBeside > .none { display: none; }
    """

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._section: object = None
        self._beam: tuple[Beam, str] | None = None
        self._batches: tuple[Batch, ...] | None = None

    def compose(self) -> ComposeResult:
        yield Static(id="of-beam", markup=False)
        yield Picture(id="section")
        yield Static(id="of-board", markup=False)
        yield Picture(id="board", most_rows=8)
        yield Static(id="ready", markup=False)

    @property
    def _width(self) -> int:
        return max(self.content_size.width, 20)

    def show(self, record: Record, beam: Beam, piece: Piece, batches: tuple[Batch, ...]) -> None:
        """Show a beam, the side that `piece` is, else side A, and the batches that are ready;
        what is shown already is not drawn again, as the section of a beam like the last one."""
        before = self._beam
        if before is None or before[0] is not beam:
            self._show_beam(record, beam)
        side = piece if piece.kind == "side" else beam.pieces["A"]
        if before is None or before[0] is not beam or before[1] != side.key:
            self._show_board(record, beam, side)
        self._beam = beam, side.key
        if self._batches is not batches:
            self._batches = batches
            self._show_ready(batches)

    def _show_beam(self, record: Record, beam: Beam) -> None:
        from crewdesk.screens.piece.beam_pictures import section_picture

        title = plain(f"{beam.label}: {beam.form.name}")
        rule = inked([ruled(title, self._width)])
        self.query_one("#of-beam", Static).update(rule, layout=False)
        cleat = beam.habits.cleat
        section = section_shapes(beam, cleat), beam.section, beam.form.id, record.job.step
        if section != self._section:
            self._section = section
            self.query_one("#section", Picture).show(
                lambda columns, rows: section_picture(beam, record.job.step, columns, rows, cleat)
            )

    def _show_board(self, record: Record, beam: Beam, piece: Piece) -> None:
        picture: Draw | None = None
        made: Marks | None = None
        with suppress(BadInput):
            made = as_it_is(shown_marks(beam, piece, {}, beam.habits.cleat))
        if isinstance(made, SideMarks) and (cut := made.cut) is not None:
            from crewdesk.screens.piece.board_pictures import board_picture

            side: Side = "A" if piece.key == "A" else "B"
            picture = partial(board_picture, cut, side, ("", ""), record.job.step)

        title = f"{piece.name}, not measured yet" if picture is None else piece.name
        rule = ruled(title, self._width)
        self.query_one("#of-board", Static).update(inked([rule]), layout=False)
        board = self.query_one("#board", Picture)
        board.set_class(picture is None, "none")
        board.show(picture)

    def _show_ready(self, batches: tuple[Batch, ...]) -> None:
        lines: list[list[Part]] = [ruled("Ready to batch", self._width)]
        most = max(self.query_one("#ready").size.height - 2, 3)
        most += len(batches) == most + 1
        for one in batches[:most]:
            count = f" {SIGNS['ready']} {len(one.spots):<4}"
            what = plain(f"{one.stage.name}: {one.step.name}")
            room = self._width - len(count)
            what = what if len(what) <= room else f"{what[: room - 1]}…"
            lines.append([(count, "strong"), (what, "text")])
        if len(batches) > most:
            lines.append([(f" … {len(batches) - most} more", "muted")])
        elif not batches:
            lines.append([(" nothing yet", "muted")])
        self.query_one("#ready", Static).update(inked(lines), layout=False)

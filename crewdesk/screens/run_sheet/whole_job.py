"""The whole job's ready batches, and its missing readings."""

from collections.abc import Iterator

from textual import on
from textual.widgets import Label

from crewdesk.job.beams.missing import BLOCKED, DOUBTFUL, HELD, LATER, TO_READ, Missing, missing
from crewdesk.job.beams.piece import Spot
from crewdesk.job.beams.readings import NAMES
from crewdesk.job.record import Record
from crewdesk.job.steps.run_sheet import RunSheet
from crewdesk.paper.plain import plain
from crewdesk.screens.parts.lines import SIGNS, Lines, Row
from crewdesk.screens.parts.sheet import ListSheet
from crewdesk.screens.parts.stick import ruled

READY, LACKING = "ready", "lacking"
_TITLES = {READY: "What can I batch now?", LACKING: "What is missing?"}
_NOTHING = {
    READY: "Nothing is ready. Press {the-other-list} to see what is missing.",
    LACKING: "Nothing is missing.",
}
_ALL_DONE = "Every step of the job is done."
_HEADS = {
    HELD: "Cut to other figures than today's",
    TO_READ: "To measure now",
    DOUBTFUL: "In doubt, to be measured again",
    BLOCKED: "Blocked",
    LATER: "To measure later, once the sides are up",
}


_WIDTH = 84


class WholeJob(ListSheet[None]):
    """One of the two lists; Enter on a line opens its batch, piece or ceiling."""

    AREA = "whole-job"
    DEFAULT_CSS = """
    WholeJob .question { width: 84; height: 92%; padding: 0 1; }
    WholeJob .title, WholeJob .about { margin: 0; }
    WholeJob Lines { height: 1fr; max-height: 100%; margin: 1 0; }
    """
    KEYS = "{go-there}: go there.  {the-other-list}: the other list.  {leave}: leave."

    def __init__(self, sheet: RunSheet, kind: str) -> None:
        super().__init__()
        self._sheet = sheet
        self._kind = kind

    def on_mount(self) -> None:
        """Begin on the first line."""
        self.query_one(Lines).focus()
        self._show()

    def _show(self) -> None:
        self.query_one(Label).update(_TITLES[self._kind])
        rows = list(self._ready() if self._kind == READY else self._lacking())
        all_done = self._kind == READY and self._sheet.all_done
        nothing = self.with_keys(f" {_ALL_DONE if all_done else _NOTHING[self._kind]}")
        self.query_one(Lines).show(rows or [Row((nothing, "muted"))])

    def _ready(self) -> Iterator[Row]:
        batches = self._sheet.batches()
        longest = max((len(plain(one.stage.name)) for one in batches), default=0)
        stage = ""
        for at, batch in enumerate(batches):
            name = "" if batch.stage.id == stage else plain(batch.stage.name)
            stage = batch.stage.id
            count = f"{SIGNS['ready']} {len(batch.spots):<5}"
            ink = "strong" if at else "set"
            yield Row(
                (f"  {name:<{longest}}  ", "head"),
                (count, ink),
                (plain(batch.step.name), "text" if at else "strong"),
                key=str(at),
            )

    def _lacking(self) -> Iterator[Row]:
        head = ""
        for one in missing(self._sheet.record):
            if head != one.sort:
                head = one.sort
                yield Row(*ruled(_HEADS[head], min(self.app.size.width * 96 // 100, _WIDTH) - 6))
            key = f"{one.spot.beam}/{one.spot.piece}/{head}"
            yield Row((f"  {_told(self._sheet.record, one)}", "text"), key=key)

    def action_turn(self) -> None:
        self._kind = LACKING if self._kind == READY else READY
        self._show()

    @on(Lines.Chosen)
    def action_go(self) -> None:
        key = self.query_one(Lines).key
        app = self.program
        if not key:
            return
        self.dismiss()
        if self._kind == READY:
            app.open("batch", self._sheet, self._sheet.batches()[int(key)])
        else:
            beam, piece, _ = key.split("/")
            if not piece:
                app.open("ceiling", beam)
                return
            app.call_later(app.go_to, "", Spot(beam, piece))


def _told(record: Record, one: Missing) -> str:
    """Return a piece and what it lacks; a sentence with the piece's name is shown alone."""
    beam = record.beam(one.spot.beam)
    if not one.spot.piece and one.why:
        return plain(one.why)
    if not one.spot.piece:
        return plain(f"{beam.label}: ceiling, at both ends and the center")
    where = f"{beam.label} {beam.piece(one.spot.piece).name}"
    what = one.why or ", ".join(NAMES[name] for name in one.readings)
    return plain(what if where in what else f"{where}: {what}")

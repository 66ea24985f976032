"""A piece's gaps at the fix-up, and the form for one."""

from collections.abc import Callable, Iterable

from textual import on
from textual.content import Content
from textual.widget import Widget
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from crewdesk.errors import CrewdeskError
from crewdesk.job.beams.gaps import drop_gap, keep_gap, places, typed_gap
from crewdesk.job.beams.piece import CURES, USUAL_BEVEL, USUAL_STOCK, Gap, Piece, Spot
from crewdesk.length import Step, mixed, to_type
from crewdesk.paper.plain import plain
from crewdesk.paper.text.exceptions_report import gap_cautions, gap_line, wedge_text
from crewdesk.screens.parts.ask import Answer, Field, ask
from crewdesk.screens.parts.fitted import in_rows
from crewdesk.screens.parts.pick_list import PickList
from crewdesk.screens.parts.program import Program
from crewdesk.screens.parts.sheet import ListSheet
from crewdesk.screens.piece.steps import stage_of_step
from crewdesk.screens.piece.templates import wedge_in_gap

_CLOSES = "gaps"
"""The usual step in which gaps are closed."""
_WIDE, _TALL, _AROUND = 64, 30, 12
"""Columns of the form's texts at most, rows of a screen on which a caution is whole (with fewer the
list of gaps has it), and columns around the texts on a narrow one."""
_NONE = "No gap is recorded here."


class GapsSheet(ListSheet[None]):
    """Every gap of a piece; Enter changes the one under the bar."""

    AREA = "gaps-of-a-piece"
    KEYS = (
        "Enter: change it.  {add-a-gap}: add one.  {take-out}: remove it.  {cautions}: "
        "cautions.  {back}: back."
    )

    def __init__(self, spot: Spot) -> None:
        super().__init__()
        self._spot = spot

    @property
    def asks(self) -> str:
        beam = self.program.record.beam(self._spot.beam)
        return f"Gaps: {beam.label} · {self._piece.name}"

    def body(self) -> Iterable[Widget]:
        yield PickList(markup=False)
        yield Static(id="none", markup=False)

    @property
    def _piece(self) -> Piece:
        return self.program.record.beam(self._spot.beam).piece(self._spot.piece)

    def on_mount(self) -> None:
        """Show the gaps; without any, ask for the first at once."""
        self.show()
        if not self._piece.gaps:
            ask_gap(self.program, self._spot, None, self._asked_first)

    def _asked_first(self) -> None:
        """Show the first gap; if none was given after all, go back."""
        if self._piece.gaps:
            self.show()
        else:
            self.dismiss()

    def show(self) -> None:
        """Show the record's gaps; close if their piece is gone."""
        try:
            _ = self._piece
        except CrewdeskError:
            self.dismiss()
            return
        options = self.query_one(OptionList)
        place = options.highlighted
        options.clear_options()
        step = self.program.record.job.step
        for gap in self._piece.gaps:
            lines = [gap_line(gap, step), *(f"! {one}" for one in gap_cautions(gap, step))]
            options.add_option(Option("\n  ".join(lines)))
        options.display = bool(self._piece.gaps)
        self.query_one("#none", Static).update("" if self._piece.gaps else _NONE)
        if self._piece.gaps:
            options.highlighted = min(place or 0, len(self._piece.gaps) - 1)
            options.focus()

    def action_add(self) -> None:
        ask_gap(self.program, self._spot, None, self.show)

    @on(OptionList.OptionSelected)
    def change(self, event: OptionList.OptionSelected) -> None:
        """Change the gap under the bar."""
        ask_gap(self.program, self._spot, event.option_index, self.show)

    def action_drop(self) -> None:
        place = self.query_one(OptionList).highlighted
        if place is not None:
            self.program.do(lambda record, now: drop_gap(record, self._spot, place, now))

    def action_cautions(self) -> None:
        self.show_cautions(stage_of_step(self.program, _CLOSES, self._spot))


def ask_gaps(app: Program, spot: Spot) -> None:
    """Show a piece's gaps, to add to them; if it can't have any, say so."""
    piece = app.record.beam(spot.beam).piece(spot.piece)
    if places(piece):
        app.push_screen(GapsSheet(spot))
    else:
        app.tell(f"No gap shows at the {piece.name}.", "wrong")


def ask_gap(app: Program, spot: Spot, at: int | None, after: Callable[[], None]) -> None:
    """Ask for a gap, its wedge shown during typing; save it and then show `after`."""
    piece = app.record.beam(spot.beam).piece(spot.piece)
    who = app.shop.who

    def gap_of(answer: Answer) -> Gap:
        return typed_gap(app.record, spot, answer, app.now(), who=who)

    def live(answer: Answer) -> str | Content:
        if not answer["width"].strip():
            return wedge_in_gap(None, app.record.job.step)
        usual = {"where": places(piece)[-1], "cure": CURES[0]}
        try:
            gap = gap_of({**answer, **{k: v for k, v in usual.items() if not answer[k].strip()}})
        except CrewdeskError as refused:
            return f"! {refused.shown(app.record.job.step)}"
        closed = wedge_text(gap, app.record.job.step) or "caulk, while the tape is still on"
        lines = gap_cautions(gap, app.record.job.step) if answer["where"].strip() else []
        lines = [*map(plain, lines)]
        if app.size.height < _TALL:
            lines = [in_rows(one, min(_WIDE, app.size.width - _AROUND), 2) for one in lines]
        drawn = wedge_in_gap(gap, app.record.job.step)
        return Content("\n").join([Content(plain(closed)), *map(Content, lines), drawn])

    def given(answer: Answer) -> None:
        app.do(lambda record, now: keep_gap(record, spot, gap_of(answer), now, at))
        after()

    ask(
        app,
        "A gap",
        _fields(piece, at, app.record.job.step),
        given,
        lambda answer: keep_gap(app.record, spot, gap_of(answer), app.now(), at),
        left=after,
        does="Save",
        live=live,
    )


def _fields(piece: Piece, at: int | None, step: Step) -> tuple[Field, ...]:
    old = None if at is None else piece.gaps[at]
    along = "" if old is None or old.along is None else to_type(old.along, step)
    where, width, cause, cure = (
        (old.where, to_type(old.width, step), old.cause, old.cure)
        if old
        else ("", "", "", CURES[0])
    )
    thickness = "Wedge: thickness" if step.mm else "Wedge: thickness, in"
    return (
        Field("width", "Width", width, "for example 1/16, by a feeler or a shim"),
        Field("where", "Where", where, answers=places(piece)),
        Field("along", "Distance from end 1", along, "along the beam, or empty"),
        Field("cause", "Cause", cause),
        Field("cure", "Fix", cure, answers=CURES),
        Field("stock", thickness, to_type(old.stock if old else USUAL_STOCK, step)),
        Field("bevel", "Wedge: bevel, degrees", mixed(old.bevel if old else USUAL_BEVEL)),
    )

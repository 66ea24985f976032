"""The ceiling over a beam: its heights while they are typed, and the scribe that follows."""

from collections.abc import Iterable
from fractions import Fraction
from typing import ClassVar

from rich.text import Text
from textual import on
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.events import DescendantFocus, Resize
from textual.widget import Widget
from textual.widgets import Input, Static

from crewdesk.errors import CrewdeskError
from crewdesk.job.beams.beam import Beam
from crewdesk.job.beams.ceiling import doubtful_ceiling
from crewdesk.job.beams.other_shape import ceiling_for_other
from crewdesk.job.beams.piece import Spot
from crewdesk.job.beams.readings import MOST_STATIONS, CeilingRead
from crewdesk.job.cuts.scribing import (
    read_ceiling,
    scribe_of,
    scribed_with_tool,
    sides_read,
    sides_under,
    typed_stations,
    usual_places,
)
from crewdesk.length import Step, show_length, to_type
from crewdesk.paper.plain import plain
from crewdesk.paper.text.notes import caution_lines, scribe_lines, station_rows
from crewdesk.screens.parts.page import Page
from crewdesk.screens.parts.picture import Draw, Picture
from crewdesk.screens.parts.program import ChangedRows
from crewdesk.screens.parts.typed_line import LengthInput
from crewdesk.screens.piece.beam_pictures import ceiling_picture
from crewdesk.screens.piece.numbers import how_to_read
from crewdesk.screens.piece.steps import stage_of_step
from crewdesk.screens.piece.tall_figures import Tall, TallFigures
from crewdesk.screens.piece.templates import ceiling_template
from crewdesk.trade.cuts.ceiling import Scribe
from crewdesk.trade.cuts.side_board import Side
from crewdesk.trade.read_length import read_off

_READ_FOR = "scribe"
"""The usual step that uses the ceiling's reading."""
_LEAST_ROWS = 5
_STATIONS = 36
"""Columns of the spots."""
_FIGURE = 4, 6
"""Rows of the scriber setting, and of it on a screen of `_TALL` rows and more."""
_TALL = 30
TAPE = Fraction(1)
"""Width of the usual painter's tape, in inches."""
_FROM = ", from end 1 on, in "


class StationRow(Horizontal):
    """One typed spot: its place, then the height over each of the beam's sides."""

    DEFAULT_CSS = """
    StationRow { height: 1; }
    StationRow > Input { width: 10; margin: 0 0 0 1; background: $panel; }
    StationRow > Input:focus { background: $entry; }
    """

    def __init__(self, *values: str) -> None:
        super().__init__()
        self._values = values

    def compose(self) -> Iterable[Widget]:
        yield from (LengthInput(value, compact=True) for value in self._values)

    @property
    def typed(self) -> tuple[str, str, str]:
        """Return its values; both heights are equal if the beam has one side."""
        at, *heights = (one.value for one in self.query(Input))
        return at, heights[0], heights[-1]


class CeilingPage(Page):
    """Spots at the left, the scribe at the right, while the user types."""

    AREA = "ceiling"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("pageup", "look(-1)", show=False),
        Binding("left_square_bracket", "look(-1)", show=False, priority=True),
        Binding("tab", "on", show=False),
        Binding("up", "line(-1)", show=False),
        Binding("down", "line(1)", show=False),
    ]
    SCROLLED = "#made"
    DEFAULT_CSS = """
    CeilingPage #about { height: auto; max-height: 2; padding: 0 1; color: $muted; }
    CeilingPage #stations { width: 36; }
    CeilingPage #heads { height: 1; color: $primary; text-style: bold; }
    CeilingPage #drawn { height: 50%; min-height: 12; }
    CeilingPage.tall #drawn { height: 60%; }
    CeilingPage #made { width: 1fr; padding: 0 1; background: $surface; }
    """

    def __init__(self, row: str) -> None:
        super().__init__()
        self._row = row
        self._saved: list[tuple[str, str, str]] = []
        self._shown: CeilingRead | None = None
        self._leaving = False
        self._made: Scribe | None = None

    @property
    def where(self) -> str:
        beam = self.program.record.beam(self._row)
        return f"{beam.label} · the ceiling over it   {self.program.record.job.name}"

    def body(self) -> Iterable[Widget]:
        beam, step = self.program.record.beam(self._row), self.program.record.job.step
        over = self._sides
        about = f"{how_to_read(beam)}{_FROM}{'mm' if step.mm else 'inches'}."
        heads = " from end 1 " + "".join(f"over {side}     " for side in over)
        yield Static(about, id="about", markup=False)
        with Horizontal():
            with Vertical(id="stations"):
                yield Static(heads, id="heads", markup=False)
                yield VerticalScroll(*self._rows_of(beam, step), can_focus=False)
            with VerticalScroll(id="made", can_focus=False):
                yield TallFigures(id="figures")
                yield Static(id="scribe", markup=False)
        yield Picture(id="drawn", most_rows=24)

    def _rows_of(self, beam: Beam, step: Step) -> list[StationRow]:
        """Return the record's spots and empty rows, without heights of another shape of the
        beam."""
        self._shown = beam.pair.ceiling
        if self._shown is not None:
            counts = sides_read(beam, self._shown) or (() if sides_under(beam) else self._sides)
            known = [
                (s.at, *(s.height(side) if side in counts else None for side in self._sides))
                for s in self._shown.stations
            ]
        else:
            known = [(at,) for at in usual_places(beam)]
        rows = [
            self._row_of(*("" if one is None else to_type(one, step) for one in each))
            for each in known
        ]
        return rows + [self._row_of() for _ in range(_LEAST_ROWS - len(rows))]

    def record_changed(self, rows: ChangedRows) -> None:
        """Show the record's spots, unless others are typed."""
        del rows
        try:
            beam = self.program.record.beam(self._row)
        except CrewdeskError:  # the beam is gone
            return
        if beam.pair.ceiling == self._shown or self._filled != self._saved:
            return
        self.run_worker(self._fill(beam), exclusive=True)

    async def _fill(self, beam: Beam) -> None:
        """Replace the shown spots by the record's."""
        stations = self.query_one("#stations VerticalScroll")
        async with self.batch():
            await stations.remove_children()
            await stations.mount(*self._rows_of(beam, self.program.record.job.step))
        self._saved = self._filled
        self._inputs[1].focus()
        self._show()

    def on_mount(self) -> None:
        """Begin in the first empty height, else in the first one."""
        inputs = self._inputs
        next((one for one in inputs if not one.value), inputs[1]).focus()
        self._saved = self._filled
        self._show()

    @property
    def _sides(self) -> tuple[Side, ...]:
        """Return the sides whose top edge meets the ceiling; both if the beam has none."""
        return sides_under(self.program.record.beam(self._row)) or ("A", "B")

    @property
    def _columns(self) -> int:
        return 1 + len(self._sides)

    def _row_of(self, *values: str) -> StationRow:
        empty = [""] * (self._columns - len(values))
        return StationRow(*values, *empty)

    @property
    def _inputs(self) -> list[Input]:
        return list(self.query(Input))

    @property
    def _typed(self) -> list[tuple[str, str, str]]:
        return [row.typed for row in self.query(StationRow)]

    @property
    def _filled(self) -> list[tuple[str, str, str]]:
        return [row for row in self._typed if any(part.strip() for part in row)]

    @on(Resize)
    def resized(self, event: Resize) -> None:
        """Give the drawing the rows of a tall screen."""
        self.set_class(event.size.height >= _TALL, "tall")

    @on(DescendantFocus)
    def focus_moved(self) -> None:
        """Show where the height in the field with the cursor is measured."""
        if self._made is None:
            self.query_one("#drawn", Picture).show(self._template())

    @on(Input.Changed)
    def changed(self) -> None:
        """Compute the scribe again."""
        self._leaving = False
        self._show()

    @on(Input.Submitted)
    def entered(self) -> None:
        """Go on to the next height; after the last, save."""
        if not self._went_on():
            self.action_save()

    def action_on(self) -> None:
        if not self._went_on():
            self._inputs[1].focus()

    def _went_on(self) -> bool:
        """Go to the next field, skipping a filled-in place, so that no height overwrites it; return
        False after the last."""
        inputs = self._inputs
        place = inputs.index(self.focused) + 1 if self.focused in inputs else 0
        if place % self._columns == 0 and place < len(inputs) and inputs[place].value.strip():
            place += 1
        if place < len(inputs):
            inputs[place].focus()
        return place < len(inputs)

    def action_line(self, way: int) -> None:
        inputs = self._inputs
        if self.focused in inputs:
            place = inputs.index(self.focused) + self._columns * way
            if 0 <= place < len(inputs):
                inputs[place].focus()

    def action_more(self) -> None:
        rows = list(self.query(StationRow))
        if len(rows) < MOST_STATIONS:
            new = self._row_of()
            self.query_one("#stations VerticalScroll").mount(new)
            self.call_after_refresh(lambda: new.query(Input).first().focus())

    def _show(self) -> None:
        self._made = None
        self.query_one("#scribe", Static).update(self._told())
        made, step = self._made, self.program.record.job.step
        figures: list[Tall] = []
        if made is not None:
            name = "scriber setting" if len(self._sides) == 1 else "scriber setting, both sides"
            value = show_length(made.setting, step).removesuffix(" mm")
            figures = [Tall(name, value, now=True)]
        rows = _FIGURE[self.size.height >= _TALL]
        self.query_one(TallFigures).show(figures, self.size.width - _STATIONS - 3, rows)
        draw = self._template() if made is None else self._draw(made)
        self.query_one("#drawn", Picture).show(draw)

    def _template(self) -> Draw | None:
        """Return the drawing of where to measure, by the typed places."""
        record = self.program.record
        places = []
        rows, inputs, here = self._typed, self._inputs, None
        field = inputs.index(self.focused) if self.focused in inputs else 0
        row, column = divmod(field, self._columns)
        for number, (at, *heights) in enumerate(rows):
            try:
                place = read_off(at, unit="mm" if record.job.step.mm else "in")
            except CrewdeskError:
                continue
            places.append((place, all(one.strip() for one in heights)))
            if number == row and column:
                here = place
        if not places:
            return None
        sides, ends, step = self._sides, record.beam(self._row).ends, record.job.step
        spots, measured = zip(*sorted(places), strict=True)
        now = None if here is None else (spots.index(here), sides[column - 1])
        return lambda columns, rows: ceiling_template(
            spots, measured, sides, ends, step, columns, rows, now
        )

    def _draw(self, made: Scribe) -> Draw:
        record = self.program.record
        beam, length = record.beam(self._row), made.marks[-1].at
        sides = self._sides
        drawn = scribed_with_tool(beam, made, beam.scribers)
        return lambda columns, rows: ceiling_picture(
            drawn, length, TAPE, beam.ends, record.job.step, columns, rows, sides
        )

    def action_look(self, way: int) -> None:
        self.query_one("#made").scroll_relative(y=5 * way, animate=False)

    def _told(self) -> Text:
        record = self.program.record
        step = record.job.step
        rows = self._typed
        if not any(any(row[1:]) for row in rows):
            other = ceiling_for_other(record.beam(self._row))
            return Text(
                plain(other or ("Not measured. Measure both ends and the center at least."))
            )
        try:
            filled = [row for row in rows if all(row) or not any(row[1:])]
            halves = len(rows) - len(filled)
            beam = record.beam(self._row)
            made = scribe_of(
                beam,
                typed_stations(record, [row for row in filled if any(row[1:])]),
            )
        except CrewdeskError as refused:
            return Text(plain(refused.shown(step)), style="bold")
        assert made is not None
        self._made = made
        more = "\n(one spot has only some of its heights; it is left out)" if halves else ""
        return _scribe_text(made, step, beam, more)

    def action_save(self) -> None:
        app = self.program
        rows = [row for row in self._typed if any(part.strip() for part in row[1:])]
        who = app.shop.who
        if app.do(
            lambda record, now: read_ceiling(
                record, self._row, typed_stations(record, rows), now, who=who
            )
        ):
            self._saved = self._filled
            self._shown = app.record.beam(self._row).pair.ceiling
        else:
            self._to_half_filled()

    def _to_half_filled(self) -> None:
        """Go to the missing field of the first half-filled spot."""
        for row in self.query(StationRow):
            missing = [one for one in row.query(Input) if not one.value.strip()]
            if missing and any(part.strip() for part in row.typed[1:]):
                missing[0].focus()
                return

    def needed(self, what: str) -> tuple[str]:
        return (self._row,)

    def action_cautions(self) -> None:
        side = Spot(self._row, "A")
        self.show_cautions(stage_of_step(self.program, _READ_FOR, side))

    def action_leave(self) -> None:
        if self._filled != self._saved and not self._leaving:
            self._leaving = True
            self.program.tell(
                self.with_keys(
                    "The ceiling is typed and not saved: {save} saves it, the same key again "
                    "drops it."
                ),
                "wrong",
            )
            return
        self.app.pop_screen()


def _scribe_text(made: Scribe, step: Step, beam: Beam, more: str) -> Text:
    _, *lines = scribe_lines(made, step, beam)  # the first is the tall figure
    cautions = caution_lines(beam, made)
    text = Text("", style="bold")
    if (doubt := doubtful_ceiling(beam, made)) is not None:
        cautions.remove(doubt)
        text.append(f"! {plain(doubt)}\n\n")
    text.append("\n".join(lines), style="not bold")
    text.append("\n\n      at   hold gap     cut   finished", style="not bold")
    for side, at, gap, depth, height in station_rows(made, step, beam):
        text.append(f"\n{side} {at:>6} {gap:>9} {depth:>8} {height:>9}", style="not bold")
    for caution in cautions:
        text.append(f"\n! {plain(caution)}", style="not bold")
    text.append(more, style="not bold")
    return text

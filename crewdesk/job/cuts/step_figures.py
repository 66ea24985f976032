"""The figures that a step cuts a piece to, by today's readings."""

from collections.abc import Mapping
from datetime import datetime
from fractions import Fraction
from typing import Any, NamedTuple

from crewdesk.errors import BadInput
from crewdesk.job.beams.beam import Beam
from crewdesk.job.beams.forms import check_thickness
from crewdesk.job.beams.piece import Piece
from crewdesk.job.beams.readings import Reading
from crewdesk.job.beams.uncertainty import how_sure, scribe_sure
from crewdesk.job.cuts.as_built import STATION, cleat_stock, goes_by
from crewdesk.job.cuts.cleats import cleat_line_to_mark
from crewdesk.job.cuts.cut_figures import Figure, Figures
from crewdesk.job.cuts.marks import (
    BottomMarks,
    CleatMarks,
    Marks,
    SideMarks,
    edges_ripped,
    marks,
)
from crewdesk.job.cuts.scribing import (
    scribe_by_readings,
    scribe_of,
    scribed_with_tool,
    tool_by_readings,
    tool_taken,
)
from crewdesk.length import (
    Length,
    Step,
    Way,
    exact_text,
    rounded_up,
    show_length,
)
from crewdesk.trade.cuts.instruments import Instruments
from crewdesk.trade.cuts.side_board import Side

DEGREES = "_deg"
BACK = "back_"
"""The prefix of a figure at a board's back."""


class Value(NamedTuple):
    """A figure before it is shown: inches, rounded one `way`, or `degrees`."""

    value: Length
    way: Way = "near"
    degrees: bool = False

    @property
    def exact(self) -> Fraction:
        """The figure as the record returns it: an irrational one has 12 decimals."""
        value = self.value
        return value if isinstance(value, Fraction) else Fraction(exact_text(value))

    def figure(self, step: Step) -> Figure:
        """Return the figure with its shown text."""
        if self.degrees:
            return Figure(self.exact, f"{float(self.value):g}\u00b0")
        return Figure(self.exact, show_length(self.value, step, way=self.way))


Values = Mapping[str, Value]


def station_of(name: str) -> Fraction | None:
    """Return the place from end 1 of a height's figure, in inches; None for other figures."""
    return Fraction(name.removeprefix(STATION)) if name.startswith(STATION) else None


def marks_as_ripped(beam: Beam, piece: Piece) -> Marks:
    """Return a piece's marks with the job's ripped cleats."""
    return marks(beam, piece, projection=beam.habits.cleat)


def ripped(beam: Beam, piece: Piece) -> Values:
    """Return a side's, bottom's or top's width, edge tilts and thickness. They follow from the
    section alone, so readings that make no board don't matter."""
    check_thickness(beam.form.id, beam.section)
    board = beam.boards[piece.key]
    side = piece.kind == "side"
    width = "height" if side else "width"
    found = {width: Value(board.width, "near" if side else "down")}
    if board.back_width != board.width:
        found[f"{BACK}{width}"] = Value(board.back_width, "up" if side else "down")
    if side:
        blades = {"blade_deg": board.first_blade, "top_blade_deg": board.second_blade}
    else:
        blades = {"bevel_deg": edges_ripped(beam.section, board)[1]}
    tilted = {name: Value(blade, degrees=True) for name, blade in blades.items() if blade}
    return found | tilted | {"thickness": Value(board.thickness)}


def cleats_ripped(beam: Beam, _piece: Piece) -> Values:
    """Return how far cleats reach off their sides and how high they are."""
    stock = Value(cleat_stock(beam))
    return {"projection": Value(beam.habits.cleat), "thickness": stock}


def cleat_line(beam: Beam, piece: Piece) -> Values:
    """Return where a cleat's lower edge is marked on a side."""
    if "cleats" not in piece.traits:
        return {}
    check_thickness(beam.form.id, beam.section)
    side: Side = "A" if piece.key == "A" else "B"
    return {"cleat_line": Value(cleat_line_to_mark(beam, side, beam.habits.cleat))}


def side_cut_to(beam: Beam, piece: Piece) -> Values:
    """Return the lengths of a side and the offsets of its ends."""
    made = marks_as_ripped(beam, piece)
    if not isinstance(made, SideMarks) or made.cut is None:
        return {}
    return {
        "bottom_length": Value(made.cut.bottom_length, "down"),
        "top_length": Value(made.cut.top_length, "down"),
        "end1_offset": Value(made.cut.end1.offset, "up"),
        "end2_offset": Value(made.cut.end2.offset, "up"),
        **{
            f"relief{end}": Value(Fraction(0) if one is None else one.by, "up")
            for end, one in enumerate(made.reliefs, 1)
        },
    }


def flat_board(beam: Beam, piece: Piece) -> Values:
    """Return a bottom's or top's two edges, and how far its ends are off square."""
    made = marks_as_ripped(beam, piece)
    cut = made.cut or made.by_line if isinstance(made, BottomMarks) else None
    if cut is None:
        return {}
    edges = {"edge_a": Value(cut.edge_a, "down"), "edge_b": Value(cut.edge_b, "down")}
    ends = {
        f"end{end.end}_offset": Value(end.offset, end.way(beam.habits.step.size))
        for end in cut.ends
        if end.offset is not None
    }
    bevels = {
        f"end{end.end}_bevel_deg": Value(end.blade_deg, degrees=True)
        for end in cut.ends
        if end.joint == "bevel"
    }
    return edges | ends | bevels


def cleats_cut(beam: Beam, piece: Piece) -> Values:
    """Return where each cleat starts and how long it is."""
    made = marks_as_ripped(beam, piece)
    cleats = made.cleats if isinstance(made, CleatMarks) else ()
    lengths = {
        f"length_{one.on}": Value(one.length, "down") for one in cleats if one.length is not None
    }
    return lengths | {
        f"start_{one.on}": Value(one.start, "up") for one in cleats if one.start is not None
    }


def wall_edge(beam: Beam, _piece: Piece) -> Values:
    """Return the bottom's width where the wall comes closest."""
    board = beam.boards["bottom"]
    return {"wall_width": Value(board.width - board.stock, "down")}


def scriber_set_to(beam: Beam, piece: Piece) -> Values:
    """Return today's setting, or the partner's if that was scribed first. With a tool of the
    crew's, return the tool's offset: it doesn't set to less."""
    own = goes_by(beam, piece.key, "setting") is None
    made = scribe_by_readings(beam) if own else scribe_of(beam)
    if made is None:
        return {}
    taken = (tool_by_readings if own else tool_taken)(beam, made, beam.scribers)
    if taken is not None and taken.more:
        return {"setting": Value(taken.offset)}
    return {"setting": Value(made.setting, "up")}


def scribed(beam: Beam, piece: Piece) -> Values:
    """Return the side's finished width at each spot, with the chosen tool."""
    made = scribe_of(beam)
    drawn = () if made is None else scribed_with_tool(beam, made, beam.scribers).marks
    found = (one for one in drawn if one.side == piece.key)
    return {f"{STATION}{one.at}": Value(one.finished_height) for one in found}


OVER_BEAM = ""
"""The piece key of a reading of the whole beam."""
SCRIBED = ("scribe", "cut-scribe")
"""The steps whose figures depend on the scriber and its tool."""
_HUNDREDTH, _MILLIONTH = Fraction(1, 100), Fraction(1, 1_000_000)


class Source(NamedTuple):
    """A reading that a cut uses: the piece's key (`OVER_BEAM` for the whole beam) and the reading's
    name."""

    piece: str
    what: str

    def name(self, piece: Piece) -> str:
        """Return the name kept with a cut of `piece`: `run`, `A.run`, `ceiling`."""
        return self.what if self.piece in (piece.key, OVER_BEAM) else f"{self.piece}.{self.what}"


def _over(beam: Beam, what: str) -> tuple[Any, ...]:
    return beam.pair.ceilings if what == "ceiling" else beam.pair.squares.get(what, ())


def taken_of(beam: Beam, source: Source) -> tuple[Any, ...]:
    """Return every reading of a source, the latest last."""
    if source.piece == OVER_BEAM:
        return _over(beam, source.what)
    return beam.piece(source.piece).readings.get(source.what, ())


def as_read_by(beam: Beam, when: datetime) -> Beam:
    """Return the beam with the readings taken by a time; its section is today's."""

    def by_then(taken: tuple[Any, ...]) -> tuple[Any, ...]:
        return tuple(one for one in taken if one.when <= when)

    pieces = {}
    for key, piece in beam.pieces.items():
        own = piece.own_cut
        pieces[key] = piece._replace(
            readings={what: by_then(taken) for what, taken in piece.readings.items()},
            own_cut=own if own is not None and own.when <= when else None,
        )
    squares = {what: by_then(taken) for what, taken in beam.pair.squares.items()}
    pair = beam.pair._replace(ceilings=by_then(beam.pair.ceilings), **squares)
    return beam._replace(pieces=pieces, pair=pair)


def accuracy(
    beam: Beam, piece: Piece, step_id: str, figures: Figures, instruments: Instruments
) -> Mapping[str, Fraction]:
    """Return the uncertainty of some figures by a beam's readings, without exact ones, in inches,
    rounded up to a millionth."""
    beam = beam if instruments == beam.instruments else beam._replace(instruments=instruments)
    found = _figures_off(beam, piece, step_id, figures) if figures else {}
    return {name: rounded_up(off, _MILLIONTH) for name, off in found.items() if off}


def _figures_off(
    beam: Beam, piece: Piece, step_id: str, figures: Figures
) -> Mapping[str, Fraction | None]:
    """Return the figures' uncertainty by their instruments, in inches."""
    try:
        if step_id in SCRIBED:
            made = scribe_of(beam)
            return (
                {} if made is None else dict.fromkeys(figures, scribe_sure(beam, made.marks).most)
            )
        sure = how_sure(beam, piece, projection=beam.habits.cleat)
    except BadInput:
        return {}
    if sure is None:
        return {}
    end = "end" if piece.kind == "side" else "cut"
    ids = {"end1_offset": f"{end}1", "end2_offset": f"{end}2"}
    return {name: sure.within.get(ids.get(name, name)) for name in figures}


def latest_of(beam: Beam, source: Source) -> Reading | None:
    """Return the latest reading of a source; None for one over the whole beam."""
    return None if source.piece == OVER_BEAM else beam.piece(source.piece).latest(source.what)

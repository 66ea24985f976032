"""The data that a check-off of a cut keeps: which steps cut, to what figures, from which
readings."""

from collections.abc import Callable, Iterator, Mapping
from contextlib import suppress
from datetime import datetime
from fractions import Fraction
from typing import Any, NamedTuple

from crewdesk.errors import BadInput
from crewdesk.job.beams.beam import IT_IS_CUT, Beam, section_then, section_to_doc
from crewdesk.job.beams.measured import read_with
from crewdesk.job.beams.piece import PARTNER, Piece, StepMark
from crewdesk.job.beams.readings import ENDS, FOR, SQUARES, Reading
from crewdesk.job.change import Doc, Tables
from crewdesk.job.cuts.cut_figures import HISTORY, READINGS, AsCut, Figures, KeptCut
from crewdesk.job.cuts.scribing import scribe_of, tool_taken
from crewdesk.job.cuts.step_figures import (
    _HUNDREDTH,
    OVER_BEAM,
    SCRIBED,
    Source,
    Value,
    Values,
    accuracy,
    as_read_by,
    cleat_line,
    cleats_cut,
    cleats_ripped,
    flat_board,
    ripped,
    scribed,
    scriber_set_to,
    side_cut_to,
    taken_of,
    wall_edge,
)
from crewdesk.job.cuts.walls import side_fit_of
from crewdesk.job.steps.usual_stages import is_made_for
from crewdesk.length import DEFAULT_STEP, STEPS, Step, rounded_up
from crewdesk.trade.cuts.instruments import USUAL_INSTRUMENTS, Instruments
from crewdesk.trade.cuts.shop_machine import Scribers

SETTINGS = ("form", "height_b", "ceiling", "pitch", "pitch_b", "low", "ridge_side")
"""The fields of a beam, beside its section, that its marks depend on."""
BACK_BEVEL = "back-bevel"
"""The step whose figures are a minimum: more does no harm."""


class Cut(NamedTuple):
    """A step that cuts.

    verb: as in "was ripped to". own, sides, over: the readings that its figures come from: the
    piece's, the sides', the whole beam's. made: the function that computes the figures. asks:
    further readings of the sides that decide whether the cut can be made.
    """

    verb: str
    made: Callable[[Beam, Piece], Values]
    own: tuple[str, ...] = ()
    sides: tuple[str, ...] = ()
    over: tuple[str, ...] = ()
    asks: tuple[str, ...] = ()


def figures_for(beam: Beam, piece: Piece, step_id: str, step: Step = DEFAULT_STEP) -> Figures:
    """Return the figures that a step cuts a piece to, by today's readings, the main one first.

    Empty if the step cuts nothing, or if the readings don't make a board yet.
    """
    return {name: one.figure(step) for name, one in values_for(beam, piece, step_id).items()}


def values_for(beam: Beam, piece: Piece, step_id: str) -> Values:
    """Return the same figures before they are rounded and shown."""
    if not cuts(step_id, piece):
        return {}
    try:
        return CUTS[step_id].made(beam, piece)
    except BadInput:
        return {}


def cuts(step_id: str, piece: Piece) -> bool:
    """Return whether a step cuts a piece or marks a line on it. A user's own steps don't, nor does
    a step assigned to pieces that it can't cut."""
    return step_id in CUTS and is_made_for(step_id, piece)


def sources(beam: Beam, piece: Piece, step_id: str) -> Iterator[Source]:
    """Yield every reading that a step's figures use, taken or not."""
    cut = CUTS[step_id]
    yield from (Source(piece.key, what) for what in cut.own)
    for side in beam.pieces.values():
        if side.kind == "side":
            yield from (Source(side.key, what) for what in cut.sides)
    yield from (Source(OVER_BEAM, what) for what in cut.over)


def all_sources(beam: Beam, piece: Piece, step_id: str) -> Iterator[Source]:
    """Yield every reading that a step's figures use, and those that decide whether it can be
    cut."""
    yield from sources(beam, piece, step_id)
    for side in beam.pieces.values():
        if side.kind == "side":
            yield from (Source(side.key, what) for what in CUTS[step_id].asks)


def readings_of(beam: Beam, piece: Piece, step_id: str) -> Doc:
    """Return the current readings of a step's figures by name, as the record keeps them."""
    found = {}
    for source in sources(beam, piece, step_id):
        if taken := taken_of(beam, source):
            found[source.name(piece)] = figures_read(taken[-1])
    return found


def figures_read(reading: Any) -> Doc:
    """Return a reading as a cut keeps it, without its beam's shape, which changes no figure."""
    doc: Doc = reading.to_doc()
    return {key: value for key, value in doc.items() if key != FOR}


def changed_since(beam: Beam, piece: Piece, step_id: str, when: datetime) -> bool:
    """Return whether a reading that a step's figures use, or your own length, was entered after a
    time."""
    own = piece.own_cut
    if own is not None and own.when > when:
        return True
    return any(
        taken[-1].when > when
        for source in sources(beam, piece, step_id)
        if (taken := taken_of(beam, source))
    )


def settings_of(tables: Tables, beam: Beam, piece: Piece) -> Doc:
    """Return the settings that a cut depends on, as the record keeps them: the beam's type and
    slope, the cleats' width, your own lengths of the bottom."""
    doc = tables["beams"][beam.row]
    found = {key: doc[key] for key in SETTINGS if doc.get(key)}
    if piece.kind == "cleats":
        found["cleat"] = str(beam.habits.cleat)
    if piece.own_cut is not None:
        found["own_cut"] = piece.own_cut.to_doc()
    return found


def _tools_taken(beam: Beam) -> Scribers:
    """Return the tool that a beam is scribed with; empty for a scriber that is set."""
    try:
        made = scribe_of(beam)
    except BadInput:
        return ()
    taken = None if made is None else tool_taken(beam, made, beam.scribers)
    return () if taken is None else ((taken.name, taken.offset),)


def as_cut(tables: Tables, beam: Beam, piece: Piece, step_id: str) -> AsCut | None:
    """Return the data that a check-off keeps now; None for a step that doesn't cut."""
    if not cuts(step_id, piece):
        return None
    made = _cut_now(beam, piece, step_id, settings_of(tables, beam, piece), beam.instruments)
    return made._replace(scribed_with=_tools_taken(beam)) if step_id in SCRIBED else made


def with_its_tools(beam: Beam, piece: Piece, step_id: str, cut: AsCut) -> Beam:
    """Return the beam with the scribing tools for a comparison with a cut.

    A scribed side stays right by its own tool. Until the other side is scribed too, today's tools
    count, since both sides share one setting.
    """
    if step_id not in SCRIBED:
        return beam
    if cut.scribed_with is None:
        return _with_tools(beam, ())  # the check-off kept the wanted setting, not the tool's
    partner = beam.pieces.get(PARTNER[piece.key])
    if partner is not None and "ceiling" in partner.traits and "scribe" not in partner.steps:
        return beam
    return _with_tools(beam, cut.scribed_with)


def values_with(beam: Beam, piece: Piece, step_id: str, cut: AsCut) -> Values:
    """Return a step's figures today with the tool that a cut was scribed with."""
    with_tools = _with_tools(beam, cut.scribed_with or ())
    return values_for(with_tools, with_tools.pieces[piece.key], step_id)


def _with_tools(beam: Beam, scribers: Scribers) -> Beam:
    """Return the beam with other scribing tools, cached per set of tools so that results are
    reused."""
    if scribers == beam.scribers:
        return beam
    return beam.once(f"with {scribers}", lambda: beam._replace(scribers=scribers))


def _cut_now(
    beam: Beam, piece: Piece, step_id: str, settings: Doc, instruments: Instruments
) -> AsCut:
    step = beam.habits.step
    figures = figures_for(beam, piece, step_id, step)
    return AsCut(
        figures,
        step.name,
        section_to_doc(beam.section),
        readings_of(beam, piece, step_id),
        settings,
        instruments,
        within=_accuracy(beam, piece, step_id, figures, instruments),
    )


def as_it_was(beam: Beam, piece: Piece, step_id: str, mark: StepMark) -> AsCut:
    """Return what a piece was cut to. If its check-off kept nothing, it is computed from the record
    at that time in the history, or else from the readings taken by then."""
    if mark.cut is not None:
        return mark.cut
    return beam.once(
        f"cut of {piece.key} {step_id}", lambda: _out_of_the_past(beam, piece, step_id, mark.when)
    )


def is_by_readings(beam: Beam, piece: Piece, step_id: str, mark: StepMark) -> bool:
    """Return whether only the readings of that time are known of a cut (see `as_it_was`)."""
    if mark.cut is not None:
        return mark.cut.source == READINGS
    return beam.as_ticked(piece.key, step_id, mark.when) is None


def _out_of_the_past(beam: Beam, piece: Piece, step_id: str, when: datetime) -> AsCut:
    if (known := beam.as_ticked(piece.key, step_id, when)) is not None and cuts(step_id, piece):
        tables, then = known
        of = then.pieces[piece.key]
        settings = settings_of(tables, then, of)
        return _cut_now(then, of, step_id, settings, USUAL_INSTRUMENTS)._replace(source=HISTORY)
    then = as_read_by(beam, when)
    of = then.pieces[piece.key]
    return _cut_now(then, of, step_id, {}, USUAL_INSTRUMENTS)._replace(source=READINGS)


def taken_for_kept(beam: Beam, made: Mapping[tuple[str, str], AsCut]) -> Beam:
    """Return the beam with some cuts, by piece key and step id, treated as kept as made; the beam
    itself if there are none."""
    if not made:
        return beam
    pieces = dict(beam.pieces)
    for (key, step_id), cut in made.items():
        piece = pieces[key]
        mark = piece.steps[step_id]
        kept = mark.kept or KeptCut(IT_IS_CUT, mark.when, {})
        steps = {**piece.steps, step_id: mark._replace(cut=cut, kept=kept)}
        pieces[key] = piece._replace(steps=steps)
    return beam.with_pieces(pieces)


_CUT = "it is cut"
"""The reason of a cut that is treated as kept without an answer."""


def within(
    beam: Beam, piece: Piece, step_id: str, mark: StepMark, cut: AsCut
) -> Mapping[str, Fraction]:
    """Return the uncertainty of each figure when it was cut, in inches, without those that are
    exact. If the check-off didn't keep it, it is computed from the readings of that time. If a
    length was measured again along the same line, its edge's uncertainty is only the
    instrument's."""
    found = dict(_as_of_the_cut(beam, piece, step_id, mark, cut))
    for name, what in _line_of(beam, piece, step_id, cut).items():
        then = Reading.from_doc(cut.readings[what])
        own = read_with(beam._replace(instruments=cut.instruments), then).length_off
        found[name] = min(found.get(name, own), own)
    return found


def _as_of_the_cut(
    beam: Beam, piece: Piece, step_id: str, mark: StepMark, cut: AsCut
) -> Mapping[str, Fraction]:
    if cut.within is not None:
        return cut.within
    then = as_read_by(beam, mark.when)
    then = then._replace(section=section_then(cut.section) or then.section)
    return _accuracy(then, then.pieces[piece.key], step_id, cut.figures, cut.instruments)


def _accuracy(
    beam: Beam, piece: Piece, step_id: str, figures: Figures, instruments: Instruments
) -> Mapping[str, Fraction]:
    """Return the uncertainty of some figures by the readings that their step uses."""
    cut = CUTS[step_id]
    if not (cut.own or cut.sides or cut.over):
        return {}
    return accuracy(beam, piece, step_id, figures, instruments)


def _line_of(beam: Beam, piece: Piece, step_id: str, cut: AsCut) -> Mapping[str, str]:
    """Return the reading that each edge was cut by and is measured by today. An edge that follows
    from the other one and the squares has none if those were measured again."""
    own = CUTS[step_id].own
    if "opening" not in own or "opening" not in cut.readings or piece.latest("opening") is None:
        return {}
    found = {"edge_a": "opening"}
    then, now = "edge_b" in cut.readings, piece.latest("edge_b") is not None
    if then and now:
        found["edge_b"] = "edge_b"
    elif not then and not now:
        today = readings_of(beam, piece, step_id)
        if all(today.get(end) == cut.readings.get(end) for end in SQUARES):
            found["edge_b"] = "opening"
    return found


def _as_cut_to_length(beam: Beam, piece: Piece) -> tuple[Beam, Step]:
    """Return the beam with a side as ripped, and as cut to length if that is checked off, and the
    step of its marked length."""
    return beam.once(f"{piece.key} as cut to length", lambda: _with_length(beam, piece))


def _with_length(beam: Beam, piece: Piece) -> tuple[Beam, Step]:
    made = {
        (piece.key, id_): as_it_was(beam, piece, id_, mark)
        for id_ in ("rip-side", "cut-side")
        if (mark := piece.steps.get(id_)) is not None and mark.state == "done"
    }
    length = made.get((piece.key, "cut-side"))
    return taken_for_kept(beam, made), beam.habits.step if length is None else STEPS[length.step]


def _back_bevel(beam: Beam, piece: Piece) -> Values:
    """Return the back bevel that each end needs, 0 for none, and the height where it starts."""
    built, step = _as_cut_to_length(beam, piece)
    fit = side_fit_of(built, built.pieces[piece.key], step)
    if fit is None:
        return {}
    by_end = {one.end: Value(rounded_up(one.deg, _HUNDREDTH), degrees=True) for one in fit.bevels}
    none = Value(Fraction(0), degrees=True)
    found = {f"bevel{end}_deg": by_end.get(end, none) for end in (1, 2)}
    return found | ({"bevel_from": Value(fit.bevels[0].start)} if fit.bevels else {})


def hardly_needed(beam: Beam, piece: Piece, step_id: str) -> frozenset[str]:
    """Return the figures of a back bevel that is no larger than the step of shown lengths."""
    if step_id != BACK_BEVEL:
        return frozenset()
    built, step = _as_cut_to_length(beam, piece)
    fit = None
    with suppress(BadInput):
        fit = side_fit_of(built, built.pieces[piece.key], step)
    if fit is None:
        return frozenset()
    return frozenset(
        f"bevel{one.end}_deg" for one in fit.bevels if not one.swings and one.by <= step.size
    )


CUTS: Mapping[str, Cut] = {
    "rip-side": Cut("ripped to", ripped),
    "rip-bottom": Cut("ripped to", ripped),
    "rip-top": Cut("ripped to", ripped),
    "rip-cleats": Cut("ripped to", cleats_ripped),
    "cleat-line": Cut("marked at", cleat_line),
    "cut-side": Cut("cut to", side_cut_to, ("run", *ENDS), over=SQUARES),
    BACK_BEVEL: Cut("back-beveled to", _back_bevel, ("run", *ENDS), over=SQUARES),
    "scribe": Cut("scribed at", scriber_set_to, over=("ceiling",)),
    "cut-scribe": Cut("cut to", scribed, over=("ceiling",)),
    "fix-cleats": Cut("cut to", cleats_cut, sides=("run", *ENDS), over=SQUARES),
    "fix-top": Cut("cut to", flat_board, sides=("run", *ENDS), over=SQUARES),
    "cut-bottom": Cut("cut to", flat_board, ("opening", "edge_b"), ENDS, SQUARES, ("run",)),
    "scribe-wall": Cut("scribed to", wall_edge),
}
"""The steps that cut, by their permanent ids."""

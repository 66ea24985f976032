"""Compare a cut with what today's readings, section or rules give: see `changed_cuts`."""

from collections.abc import Iterator, Mapping
from fractions import Fraction
from typing import NamedTuple

from crewdesk.job.beams.beam import GONE_BY, Beam
from crewdesk.job.beams.piece import Piece, Spot, StepMark
from crewdesk.job.beams.plausibility import doubt
from crewdesk.job.beams.readings import SQUARES
from crewdesk.job.change import Doc
from crewdesk.job.cuts.as_built import goes_by, height_between
from crewdesk.job.cuts.as_cut import (
    BACK_BEVEL,
    as_it_was,
    changed_since,
    hardly_needed,
    readings_of,
    sources,
    values_with,
    within,
)
from crewdesk.job.cuts.as_set import (
    OWN_LENGTH,
    Setting,
    as_set,
    is_none_where_lacking,
    settings_changed,
    unread_since,
    values_today,
)
from crewdesk.job.cuts.changed_cut import (
    AT_LEAST,
    SLANTS,
    TOOLS,
    ChangedCut,
    ChangedFigure,
    slants_now,
)
from crewdesk.job.cuts.cut_figures import READINGS, AsCut, Figure, Figures, KeptCut
from crewdesk.job.cuts.goes_in import over_as_cut
from crewdesk.job.cuts.kept_clash import must_match, why_not_kept
from crewdesk.job.cuts.step_figures import BACK, DEGREES, OVER_BEAM, latest_of, station_of
from crewdesk.length import STEPS, show_length
from crewdesk.trade.cuts.pitch import read_pitch

DEGREES_OFF = Fraction(1, 4)
"""The tolerance of a blade's tilt, in degrees: what a saw's scale can be set to (common practice,
no source)."""


_SQUARE = Figure(Fraction(0), "0\u00b0")


def compared(
    beam: Beam, built: Beam, piece: Piece, step_id: str, mark: StepMark
) -> ChangedCut | None:
    """Return how a checked-off cut differs from today's figures, with the boards it depends on as
    in `built`; None if it would be the same."""
    cut = as_it_was(beam, piece, step_id, mark)
    if not cut.figures:
        return None  # nothing was known when it was cut: its gate was passed
    values = values_today(built, piece, step_id, cut)
    today = {name: one.figure(beam.habits.step) for name, one in values.items()}
    tolerance = _tolerance(beam, built, piece, step_id, mark, cut)
    figures = _differing(cut.figures, today, tolerance)
    over = over_as_cut(built, piece, step_id, cut) if figures else _NONE
    if over:
        figures = _too_big(figures, piece)
    doubts = tuple(_doubts(beam, piece, step_id, mark))
    slants = _slants_since(cut, today, tolerance)
    asks = unread_since(beam, piece, step_id, mark.when) or slants_now(cut, slants)
    if not figures and not doubts and not asks:
        return None
    kept = False
    if mark.kept is not None:
        since = _since_kept(built, piece, step_id, cut, mark.kept, tolerance)
        kept = not _otherwise_than_kept(figures, mark.kept.figures, today, since)
        kept = kept and not unread_since(beam, piece, step_id, mark.kept.when)
        kept = kept and slants.keys() <= mark.kept.figures.keys()
        kept = kept and not _over_since(over, figures, mark.kept)
    causes, settings = _parts(beam, built, piece, step_id, mark, cut)
    gone = beam.is_gone(piece, step_id)
    much = bool(doubts or asks or any(one.much for one in figures))
    off = {one.name: one for one in figures if one.much}
    clash = "" if gone else why_not_kept(built, piece, step_id, cut, off)
    kept = kept and not clash
    return ChangedCut(
        Spot(beam.row, piece.key),
        f"{beam.label} {piece.name}",
        step_id,
        mark,
        figures,
        doubts,
        causes,
        cut,
        today,
        much and not kept and not gone,
        kept or (gone and much),
        gone,
        clash,
        settings,
        asks,
    )


_EDGES = ("edge_a", "edge_b")
_SIZES = (
    *("height", "back_height", "width", "back_width", "wall_width", "bottom_length", "top_length"),
    *_EDGES,
)


class _Tolerance(NamedTuple):
    """The allowed difference between today's figures and a cut's.

    step: the step of shown lengths, in inches. within: each figure's uncertainty when cut, if
    readings were taken since, in inches. by_settings: the part of a difference that comes from
    changed settings, in inches. hardly: figures that pass with any value (see `hardly_needed`).
    matched: figures that pass only if equal (see `must_match`).
    """

    step: Fraction
    within: Mapping[str, Fraction]
    by_settings: Mapping[str, Fraction]
    hardly: frozenset[str] = frozenset()
    matched: frozenset[str] = frozenset()

    def passed(self, name: str, off: Fraction) -> bool:
        """Return whether a figure differs by more than allowed."""
        if name in self.hardly:
            return False
        if name in self.matched:
            return True
        if name.endswith(DEGREES):
            return abs(off) > DEGREES_OFF
        most = max(self.step, self.within.get(name, Fraction(0)))
        return abs(off) > most or abs(self.by_settings.get(name, Fraction(0))) > self.step


def _tolerance(
    beam: Beam, built: Beam, piece: Piece, step_id: str, mark: StepMark, cut: AsCut
) -> _Tolerance:
    hardly = hardly_needed(built, built.pieces[piece.key], step_id)
    matched = must_match(built, piece, step_id, cut)
    usual = _Tolerance(STEPS[cut.step].size, {}, {}, hardly, matched)
    if mark.cut is None and step_id in GONE_BY:
        # Without kept figures other boards can't follow it, so each difference asks.
        return usual._replace(step=Fraction(0))
    if step_id == "scribe" and goes_by(built, piece.key, "setting") is not None:
        return usual  # it is compared with the other side's setting, which isn't a reading
    if readings_of(beam, piece, step_id) == cut.readings and not _pitch_reread(beam, cut):
        return usual
    usual = usual._replace(within=within(beam, piece, step_id, mark, cut))
    if cut.source == READINGS:
        return usual
    by_settings = _by_settings(built, piece, step_id, cut, cut.section, cut.settings)
    return usual._replace(by_settings=by_settings)


def _since_kept(
    built: Beam, piece: Piece, step_id: str, cut: AsCut, kept: KeptCut, tolerance: _Tolerance
) -> _Tolerance:
    """Return the allowed difference between today's figures and an answer's. A reading's
    uncertainty counts only if one was taken since, and never for changed settings."""
    reread = changed_since(built, piece, step_id, kept.when)
    if not reread or kept.section is None or kept.settings is None:
        return tolerance._replace(within={}, by_settings={})
    set_since = _by_settings(built, piece, step_id, cut, kept.section, kept.settings)
    return tolerance._replace(by_settings=set_since)


def _pitch_reread(beam: Beam, cut: AsCut) -> bool:
    """Return whether the slope, which is measured too, changed since the cut."""
    if cut.source == READINGS:
        return False
    slopes = (("pitch", beam.pitch), ("pitch_b", beam.pitch_b))
    return any(
        (None if (was := cut.settings.get(key)) is None else read_pitch(was)) != now
        for key, now in slopes
    )


def _by_settings(
    built: Beam, piece: Piece, step_id: str, cut: AsCut, section: Doc, settings: Doc
) -> Mapping[str, Fraction]:
    """Return the difference between today's figures and those of today's readings with the old
    settings: section, settings and own length."""
    before = as_set(built, piece.key, section, settings)
    if before is built:
        return {}
    then = values_today(before, piece, step_id, cut)
    return {
        name: one.exact - then[name].exact
        for name, one in values_today(built, piece, step_id, cut).items()
        if name in then
    }


def _otherwise_than_kept(
    differ: tuple[ChangedFigure, ...], kept: Figures, today: Figures, since: _Tolerance
) -> bool:
    """Return whether a kept cut asks again: a figure differs from its value at the answer, or is
    new since then."""
    new = {
        one.name
        for one in differ
        if one.much and one.now is not None and one.name not in kept and not station_of(one.name)
    }
    if new and not all(is_none_where_lacking(name) for name in new):
        return True
    return any(one.much for one in _differing(kept, today, since))


def _differing(was: Figures, today: Figures, tolerance: _Tolerance) -> tuple[ChangedFigure, ...]:
    """Return the figures that differ, those that differ much first."""
    if was and not today:
        name, one = next(iter(was.items()))
        return (ChangedFigure(name, one, None, Fraction(0), True),)
    found = [
        ChangedFigure(name, old, None, Fraction(0), True)
        for name, old in was.items()
        if name not in today and _stands_alone(name)
    ]
    for name, old, new in _pairs(was, today):
        off = new.exact - old.exact
        if not off or (off < 0 and name in AT_LEAST):
            continue
        if (much := tolerance.passed(name, off)) or old.shown != new.shown:
            found.append(ChangedFigure(name, old, new, off, much))
    side = _LENGTH in was
    return tuple(sorted(found, key=lambda one: _how_grave(one, side=side)))


def _how_grave(one: ChangedFigure, *, side: bool) -> tuple[bool, int, Fraction]:
    """Return a sort key with the worst difference first: wrong stock, which no cut can fix; then a
    side that is too long or too short for its room, by how much; then another board that is too
    small; of its edges and spots the largest.

    A side cut back too much at one end's top only has a gap there, and its top edge differs as its
    ends do.
    """
    station = station_of(one.name) is not None
    too_small = one.off > 0 and (station or one.name in _SIZES)
    too_long = one.off < 0 and one.name == _LENGTH
    too_long = too_long or (side and one.off > 0 and one.name in _TAKEN_OFF)
    alike = station or one.name in _EDGES
    rank = 3 - too_small
    if one.name == "thickness":
        rank = 0
    elif too_long or (too_small and one.name == _LENGTH):
        rank, alike = 1, True
    return not one.much, rank, -abs(one.off) if alike else Fraction(0)


def _too_big(figures: tuple[ChangedFigure, ...], piece: Piece) -> tuple[ChangedFigure, ...]:
    """Return the differing figures of a board that no longer goes in. Those that left it too big
    need an answer, however small the difference."""
    side = piece.kind == "side"
    found = (one._replace(much=one.much or _is_tighter(one, side=side)) for one in figures)
    return tuple(sorted(found, key=lambda one: _how_grave(one, side=side)))


def _is_tighter(one: ChangedFigure, *, side: bool) -> bool:
    """Return whether a board is too big by a figure of today."""
    if one.name in SLANTS and not side:
        return True
    return one.off > 0 if one.name in _TAKEN_OFF else one.off < 0 and one.name in _MUST_GO_IN


def _over_since(over: Fraction, figures: tuple[ChangedFigure, ...], kept: KeptCut) -> bool:
    """Return whether a board that was kept went in by the figures of then, and doesn't any more."""
    since = (
        abs(one.now.exact - was.exact)
        for one in figures
        if one.much and one.now is not None and (was := kept.figures.get(one.name)) is not None
    )
    return bool(over) and over <= max(since, default=_NONE)


_NONE = Fraction(0)
_LENGTH = "bottom_length"
_MUST_GO_IN = ("width", "wall_width", _LENGTH, "top_length", *_EDGES)
"""The sizes that a board must not have more of than its room."""
_TAKEN_OFF = ("end1_offset", "end2_offset", "relief1", "relief2")
"""What is taken off a side's ends: if more is needed than was taken, the side is too long there."""


def _stands_alone(name: str) -> bool:
    """Return whether a figure that can't be made today has no other to be compared with."""
    if name == "bevel_from":
        return False  # it goes with a bevel
    return not is_none_where_lacking(name) and station_of(name) is None


def _pairs(was: Figures, today: Figures) -> Iterator[tuple[str, Figure, Figure]]:
    """Return the figures known on both sides. At a spot measured on only one side, use a straight
    edge between its neighbors; a missing tilt is 0, a missing back is as wide as its face."""
    for name in (*was, *(one for one in today if one not in was)):
        old, new = was.get(name), today.get(name)
        if (at := station_of(name)) is not None:
            old, new = old or _between(was, at), new or _between(today, at)
        if name.endswith(DEGREES) and was and today:
            old, new = old or _SQUARE, new or _SQUARE
        if name.startswith(BACK):
            face = name.removeprefix(BACK)
            old, new = old or was.get(face), new or today.get(face)
        if old is not None and new is not None:
            yield name, old, new


def _between(figures: Figures, at: Fraction) -> Figure | None:
    """Return the height at a place between two spots; None beyond them."""
    height = height_between(figures, at)
    return None if height is None else Figure(height, show_length(height))


def _doubts(beam: Beam, piece: Piece, step_id: str, mark: StepMark) -> Iterator[str]:
    """Return why readings taken after the cut are doubtful. A back bevel depends on the same
    readings as the length, which is checked instead."""
    if step_id == BACK_BEVEL:
        return
    for source in sources(beam, piece, step_id):
        if source.piece == OVER_BEAM:
            continue
        reading = latest_of(beam, source)
        if reading is not None and reading.when > mark.when:
            # An own length that is over the reading is no fault of the reading.
            of = beam.pieces[source.piece]
            of = of if of.own_cut is None else of._replace(own_cut=None)
            found = doubt(beam, of, source.what)
            if found is not None:
                yield found


def _slants_since(cut: AsCut, today: Figures, tolerance: _Tolerance) -> Figures:
    """Return today's slants by name for a board that was cut while its slants were unknown, without
    those too small to matter."""
    edges = [cut.figures[name].exact for name in _EDGES if name in cut.figures]
    if len(set(edges)) < 2 or any(name in cut.readings for name in SQUARES):
        return {}
    return {
        name: one
        for name, one in today.items()
        if name in SLANTS and name not in cut.figures and tolerance.passed(name, one.exact)
    }


def _parts(
    beam: Beam, built: Beam, piece: Piece, step_id: str, mark: StepMark, cut: AsCut
) -> tuple[tuple[str, ...], tuple[Setting, ...]]:
    """Return the causes of a changed cut in words, and the settings among them: restoring one of
    them alone changes the figures."""
    causes = []
    if _values_read(readings_of(beam, piece, step_id)) != _values_read(cut.readings):
        causes.append("readings")
    if cut.source == READINGS:
        if piece.own_cut is not None and piece.own_cut.when > mark.when:
            causes.append(OWN_LENGTH)
        return tuple(causes), ()
    today = values_today(built, piece, step_id, cut)
    found = tuple(
        one
        for one, then in settings_changed(built, piece.key, cut.section, cut.settings)
        if values_today(then, piece, step_id, cut) != today
    )
    for of in dict.fromkeys(one.of for one in found):
        # Without your own length the readings decide.
        cause = "readings" if of == OWN_LENGTH and piece.own_cut is None else of
        causes += [cause] if cause not in causes else []
    with_its_own = not causes and cut.scribed_with is not None
    if with_its_own and values_with(built, piece, step_id, cut) != today:
        causes.append(TOOLS)
    return tuple(causes), found


def _values_read(readings: Doc) -> Doc:
    """Return readings without time and person: measuring the same value again changes nothing."""
    return {
        name: {key: value for key, value in one.items() if key not in ("when", "who")}
        for name, one in readings.items()
    }

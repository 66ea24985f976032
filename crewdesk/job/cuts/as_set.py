"""A beam with the settings of a cut restored, and its figures today with them.

Settings aren't measured, so a reading's uncertainty doesn't excuse a change of one. The readings
stay today's, which shows the effect of a change of settings alone.
"""

from collections.abc import Callable, Iterator, Mapping
from datetime import datetime
from typing import Any, NamedTuple

from crewdesk.errors import CrewdeskError
from crewdesk.job.beams.beam import Beam, section_then
from crewdesk.job.beams.piece import OwnCut, Piece, StepMark
from crewdesk.job.change import Doc
from crewdesk.job.cuts.as_cut import (
    CUTS,
    as_it_was,
    changed_since,
    is_by_readings,
    values_for,
    with_its_tools,
)
from crewdesk.job.cuts.bottoms import EDGE_B, unread_edge
from crewdesk.job.cuts.cut_figures import AsCut
from crewdesk.job.cuts.step_figures import BACK, DEGREES, Values, as_read_by
from crewdesk.job.parsing import fraction
from crewdesk.trade.cuts.pitch import read_pitch

SECTION, SETTINGS, OWN_LENGTH, CLEAT_RULE = "section", "settings", "own length", "cleat rule"
"""The owner of a setting, in words."""
_MEASURED = ("pitch", "pitch_b")
"""The settings that are measured, with their own uncertainty."""


class Setting(NamedTuple):
    """A setting that changed since a cut: its owner (`of`), the field's `name` and its old value,
    as the record keeps it."""

    of: str
    name: str
    then: Any


PutBack = tuple[Setting, Beam]
"""A changed setting, and the beam with only that one restored."""


def settings_changed(beam: Beam, key: str, section: Doc, settings: Doc) -> Iterator[PutBack]:
    """Yield each setting of a piece that differs from a cut's documents."""
    yield from _section_changed(beam, section)
    for name, read in _SETTINGS.items():
        try:
            then = read(settings.get(name))
        except CrewdeskError:
            continue
        if then != getattr(beam, name):
            yield Setting(SETTINGS, name, settings.get(name)), beam._replace(**{name: then})
    if "cleat" in settings and settings["cleat"] != str(beam.habits.cleat):
        rule = fraction(settings["cleat"], "width of cleats")
        habits = beam.habits._replace(cleat=rule)
        yield Setting(CLEAT_RULE, "cleat", settings["cleat"]), beam._replace(habits=habits)
    piece = beam.pieces[key]
    was, now = settings.get("own_cut"), piece.own_cut
    if was != (None if now is None else now.to_doc()):
        try:
            own = None if was is None else OwnCut.alone(was)
        except CrewdeskError:
            return
        pieces = {**beam.pieces, key: piece._replace(own_cut=own)}
        yield Setting(OWN_LENGTH, "own_cut", was), beam._replace(pieces=pieces)


def as_set(beam: Beam, key: str, section: Doc, settings: Doc) -> Beam:
    """Return the beam with all of a cut's settings restored except slopes."""
    while True:
        changed = settings_changed(beam, key, section, settings)
        found = next((then for one, then in changed if one.name not in _MEASURED), None)
        if found is None:
            return beam
        beam = found


def _section_changed(beam: Beam, doc: Doc) -> Iterator[PutBack]:
    if (then := section_then(doc)) is None:
        return
    for name, was in then._asdict().items():
        if was != getattr(beam.section, name):
            section = beam.section._replace(**{name: was})
            yield Setting(SECTION, name, str(was)), beam._replace(section=section)


_SETTINGS: Mapping[str, Callable[[Any], Any]] = {
    "height_b": lambda text: fraction(text, "height of side B") if text else None,
    "ceiling": lambda text: text or "flat",
    "pitch": lambda text: read_pitch(text) if text else None,
    "pitch_b": lambda text: read_pitch(text) if text else None,
    "low": lambda end: 2 if end == 2 else 1,
    "ridge_side": lambda text: fraction(text, "ridge's side") if text else None,
}
"""The fields of a beam that a cut depends on, except its type, and how each is parsed."""


RIPS = frozenset({"rip-side", "rip-bottom", "rip-top"})
"""The steps that rip a beam's boards, which must match one another."""


def is_as_ever(beam: Beam, built: Beam, piece: Piece, step_id: str, mark: StepMark) -> bool:
    """Return whether there is obviously nothing to compare: the fast path for the usual case."""
    if changed_since(beam, piece, step_id, mark.when) or unread_since(
        beam, piece, step_id, mark.when
    ):
        return False
    if is_by_readings(beam, piece, step_id, mark):
        return True
    was = as_it_was(beam, piece, step_id, mark)
    today = values_today(built, piece, step_id, was)
    return all(
        name in today and today[name].exact == one.exact for name, one in was.figures.items()
    ) and not any(is_none_where_lacking(name) and name not in was.figures for name in today)


def values_today(built: Beam, piece: Piece, step_id: str, cut: AsCut) -> Values:
    """Return a cut's figures by today's readings, with the boards that it depends on as built."""
    with_tools = with_its_tools(built, piece, step_id, cut)
    return values_for(with_tools, with_tools.pieces[piece.key], step_id)


def is_none_where_lacking(name: str) -> bool:
    """Return whether a missing figure has its neutral value: a tilt is square, a back is as wide as
    its face."""
    return name.endswith(DEGREES) or name.startswith(BACK)


def unread_since(beam: Beam, piece: Piece, step_id: str, when: datetime) -> str:
    """Return what must be measured because of readings taken after a time: a bottom's edge B, if
    the walls turned out to be out of square; "" for nothing."""
    if "edge_b" not in CUTS[step_id].own or (asks := unread_edge(beam, piece, EDGE_B)) is None:
        return ""
    then = as_read_by(beam, when)
    return asks if unread_edge(then, then.pieces[piece.key], EDGE_B) is None else ""

"""A cut whose figures changed: what it was, and what it would be today, in words."""

from collections.abc import Mapping
from fractions import Fraction
from typing import NamedTuple

from crewdesk.job.beams.piece import Spot, StepMark
from crewdesk.job.cuts.as_cut import CUTS, Cut
from crewdesk.job.cuts.as_set import SETTINGS, Setting
from crewdesk.job.cuts.cut_figures import CHECK_OFF, HISTORY, READINGS, AsCut, Figure, Figures
from crewdesk.job.cuts.step_figures import DEGREES, station_of
from crewdesk.length import DEFAULT_STEP, STEPS, Step, Way, mixed, show_length

OLD: Mapping[str, str] = {
    HISTORY: (
        "(It was checked off before crewdesk kept cut figures; these follow from the readings, "
        "section and settings of that time, out of the history.)"
    ),
    READINGS: (
        "(It was checked off before crewdesk kept cut figures, and the history doesn't reach "
        "back to it; these follow from the readings taken by then and today's section and "
        "settings.)"
    ),
}
"""The source of the figures of a check-off that kept none, in words."""


TOOLS = "scribing tools"
"""The name of the cause if the tools in Business settings changed since a side was scribed."""
_LITTLE = "too little"
_SIZES = (
    *("height", "width", "wall_width", "projection", "thickness"),
    *("bottom_length", "top_length", "edge_a", "edge_b", "length_A", "length_B", "length_wall"),
)
"""The figures that a board can be cut down to but not up to; heights at spots too."""


class ChangedFigure(NamedTuple):
    """A figure as cut and as it would be today (None if nothing can be made today); `off` is
    today's minus the old one; `much` is whether it exceeds the tolerance."""

    name: str
    was: Figure
    now: Figure | None
    off: Fraction
    much: bool


class ChangedCut(NamedTuple):
    """A cut whose figures differ today, or whose new readings are in doubt.

    `figures` are those that differ, those that differ much first. `doubts` are the sentences about
    readings that were taken since and are hard to believe. `causes` name what changed and has a
    part in it, `settings` each thing among that which was set. `cut` is what it was cut to (see
    `as_cut.as_it_was`). `today` are all figures of today. `asks` says what else must be read before
    it could be cut today; "" for nothing. `held` says whether it waits for an answer; `kept` that
    it was answered, or that nothing can ask about it: `gone` says that its step is no longer one of
    the piece. `clash` says why it can't be kept and what to do, or "" if it can.
    """

    spot: Spot
    where: str
    step_id: str
    mark: StepMark
    figures: tuple[ChangedFigure, ...]
    doubts: tuple[str, ...]
    causes: tuple[str, ...]
    cut: AsCut
    today: Figures
    held: bool
    kept: bool
    gone: bool = False
    clash: str = ""
    settings: tuple[Setting, ...] = ()
    asks: str = ""

    @property
    def old(self) -> bool:
        """Whether the check-off kept no figures."""
        return self.cut.source != CHECK_OFF

    @property
    def key(self) -> tuple[object, ...]:
        """A key that distinguishes this question from another one about the same cut."""
        figures = tuple((one.name, one.now) for one in self.figures)
        return (self.spot, self.step_id, figures, self.doubts, self.asks, self.held)

    @property
    def lacks(self) -> str:
        """In what the board is too short, narrow or thin for today's figures; "" if it can be cut
        to them."""
        for one in self.figures:
            size = one.name in _SIZES or station_of(one.name) is not None
            if size and one.much and one.off > 0:
                return told_of(one.name, self)[1]
        return ""

    @property
    def needs_a_board(self) -> str:
        """A sentence that no cut of this board helps; "" if one does."""
        if not self.lacks:
            return ""
        they = "They are" if self.spot.piece == "cleats" else "It is"
        boards = "new stock helps" if self.spot.piece == "cleats" else "a new board helps"
        return f"{they} {self.lacks} for today's figures, so only {boards}."

    @property
    def told(self) -> str:
        """What it was cut to and would be cut to today, in a sentence or two, and why it can't be
        kept, if so."""
        clash = f" {self.clash}" if self.clash else ""
        return f"{_difference(self)}{_but(self)}{clash}"

    @property
    def brief(self) -> str:
        """The same in a few words, without the piece."""
        return _brief(self)


def _brief(one: ChangedCut) -> str:
    cut = CUTS[one.step_id]
    if not one.figures:
        why = "edge B wasn't measured" if one.asks else ("a reading taken since then is in doubt")
        if one.asks.startswith(_SLANTS_NOW):
            why = "its slant wasn't known"
        return f"{cut.verb.split()[0]}, and {why}"
    first = one.figures[0]
    after, less, more = told_of(first.name, one)
    # Of other figures what the board is too much or little of says where.
    where = after if less == _LITTLE or first.name.endswith("_offset") else ""
    was = _was_cut(one, first, where)
    if first.now is None:
        return f"{was}, now none"
    how = less if first.off > 0 else more
    return f"{was}, now {_now_made(one, first)} ({_off_told(one, first)} {how})"


def _was_cut(one: ChangedCut, first: ChangedFigure, after: str) -> str:
    """Return what was cut, from the verb on; `after` follows a length."""
    cut = CUTS[one.step_id]
    if is_slant(first.name, one):
        slant = _slant(one, first.was)
        return f"cut {f'with {slant}' if first.was.exact else slant} at end {first.name[3]}"
    if first.name in _RELIEFS and not first.was.exact:
        return f"cut with no relief{after}"
    if first.name in AT_LEAST and not first.was.exact:
        return f"not back-beveled{after}"
    return f"{_verb(first, cut)} {_with_unit(one, first.name, first.was)}{after}"


def _now_made(one: ChangedCut, first: ChangedFigure) -> str:
    """Return what it would be today."""
    assert first.now is not None
    if is_slant(first.name, one):
        return _slant(one, first.now)
    if first.name in _RELIEFS and not first.now.exact:
        return "none"
    return _with_unit(one, first.name, first.now)


def _with_unit(cut: ChangedCut, name: str, figure: Figure) -> str:
    """Return a figure as shown; of a side's end with the direction that its top is off square."""
    if name not in SLANTS:
        return f"{figure.shown}{_inch(name, figure)}"
    if not figure.exact:
        return "square"
    step, back = STEPS[cut.cut.step], figure.exact > 0
    shown = show_length(abs(figure.exact), step, way="up" if back else "down")
    return f"{shown}{'' if step.mm else ' in'} {'back' if back else 'out'}"


SLANTS = ("end1_offset", "end2_offset")
"""The figures of a slant: how far edge A of a bottom or top runs past edge B, or a side's top goes
back."""
_RELIEFS = ("relief1", "relief2")
AT_LEAST = ("bevel1_deg", "bevel2_deg")
"""The figures where more than needed does no harm: a back bevel never shows."""


def is_slant(name: str, cut: ChangedCut) -> bool:
    """Return whether a figure is how far edge A of a bottom or top runs past edge B at an end."""
    return name.endswith("_offset") and cut.spot.piece in ("bottom", "top")


_SLANTS_NOW = "Its slant wasn't known when it was cut."


def slants_now(cut: AsCut, slants: Figures) -> str:
    """Return today's ends of a board that was cut before its slant was known; "" if there are
    none."""
    if not slants:
        return ""
    ends = (f"{_slanting(cut, one)} at end {name[3]}" for name, one in slants.items())
    return f"{_SLANTS_NOW} Its slant is now {' and '.join(ends)}."


def _slant(one: ChangedCut, figure: Figure) -> str:
    return _slanting(one.cut, figure)


def _slanting(cut: AsCut, figure: Figure) -> str:
    """Return which edge runs past the other, and by how much."""
    if not figure.exact:
        return "square"
    long, short = ("A", "B") if figure.exact > 0 else ("B", "A")
    step = STEPS[cut.step]
    return f"edge {long} past edge {short} by {_by(figure, step)}{'' if step.mm else ' in'}"


def _by(slant: Figure, step: Step) -> str:
    """Return how far one edge runs past the other, rounded as in the list of marks."""
    near = slant.shown == show_length(slant.exact, step)
    way: Way = "near" if near else "up" if slant.exact > 0 else "down"
    return show_length(abs(slant.exact), step, way=way)


def _verb(one: ChangedFigure, cut: Cut) -> str:
    return "ripped from" if one.name == "thickness" else cut.verb


def _inch(name: str, figure: Figure) -> str:
    """Return the unit after a shown figure; millimeters and degrees have their own."""
    return "" if name.endswith(DEGREES) or "mm" in figure.shown else " in"


def _difference(one: ChangedCut) -> str:
    cut = CUTS[one.step_id]
    were = "were" if one.spot.piece == "cleats" else "was"
    now = f"{'their' if were == 'were' else 'its'} {' and '.join(one.causes) or 'settings'} now"
    many = len(one.causes) != 1 or one.causes[0] in ("readings", SETTINGS, TOOLS)
    makes = "make" if many else "makes"
    if not one.figures:
        return f"{one.where} {were} {cut.verb.split()[0]} by earlier readings."
    first = one.figures[0]
    if is_slant(first.name, one) and first.now is not None:
        makes = makes.replace("make", "put") if first.now.exact else f"{makes} it"
    after, less, more = told_of(first.name, one)
    was = f"{one.where} {were} {_was_cut(one, first, after)}"
    if first.now is None:
        return f"{was}; {now} {makes} none."
    off = _off_told(one, first)
    alike = [other for other in one.figures[1:] if other.much == first.much]
    others = len([other for other in alike if other.off != first.off])
    also = f", and {others} more figure{'' if others == 1 else 's'} differ" if others else ""
    also = also.replace("figure differ", "figure differs")
    how = less if first.off > 0 else more
    return f"{was}; {now} {makes} {_now_made(one, first)} ({off} {how}{also})."


def _off_told(cut: ChangedCut, one: ChangedFigure) -> str:
    """Return by how much a figure differs, as lengths are shown today."""
    off, step = abs(one.off), STEPS[cut.cut.step]
    if is_slant(one.name, cut) and not one.was.exact and one.now is not None:
        return f"{_by(one.now, step)}{'' if step.mm else ' in'}"
    if one.name.endswith(DEGREES):
        return f"{float(off):g}\u00b0"
    mm = not _inch(one.name, one.now or one.was)
    if mm != step.mm:
        step = STEPS["mm"] if mm else DEFAULT_STEP
    if off < step.size / 2:
        return f"under {show_length(step.size, step)}" if mm else f"under {step.name} in"
    return show_length(off, STEPS["mm"]) if mm else f"{show_length(off)} in"


def _but(one: ChangedCut) -> str:
    doubts = " A reading taken since then is in doubt. Measure it again." if one.doubts else ""
    asks = f" {one.asks}" if one.asks else ""
    old = OLD.get(one.cut.source)
    return f"{doubts}{asks} {old}" if old else f"{doubts}{asks}"


def told_of(name: str, cut: ChangedCut) -> tuple[str, str, str]:
    """Return the words of a figure: what follows its length, and what a board with too little or
    too much of it is."""
    if (at := station_of(name)) is not None:
        return f" at {mixed(at)} from end 1", "too narrow", "too wide"
    edges = {(one.was, one.now) for one in cut.figures if one.name in ("edge_a", "edge_b")}
    if name == "edge_a" and len(cut.figures) > 1 and len(edges) == 1:
        return "", "too short", "too long"  # both edges alike
    if is_slant(name, cut):
        return f" at end {name[3]}", "off", "off"
    return _TOLD.get(name, ("", "less", "more"))


_TOLD: Mapping[str, tuple[str, str, str]] = {
    "height": (" wide", "too narrow", "too wide"),
    "width": (" wide", "too narrow", "too wide"),
    "thickness": (" stock", "too thin", "too thick"),
    "back_height": (" wide at the back", "too narrow", "too wide"),
    "back_width": (" wide at the back", "too narrow", "too wide"),
    "blade_deg": (" at the bottom edge", "too little", "too much"),
    "top_blade_deg": (" at the top edge", "too little", "too much"),
    "bevel_deg": (" at the edges", "too little", "too much"),
    "projection": (" wide", "too narrow", "too wide"),
    "cleat_line": (" up the inside", "too low", "too high"),
    "bottom_length": ("", "too short", "too long"),
    "top_length": (" along the top edge", "too short", "too long"),
    "end1_offset": (" at the top of end 1", "too long", "too short"),
    "end2_offset": (" at the top of end 2", "too long", "too short"),
    "relief1": (" off the back at end 1", "too little", "too much"),
    "relief2": (" off the back at end 2", "too little", "too much"),
    "end1_bevel_deg": (" of bevel at end 1", "too little", "too much"),
    "end2_bevel_deg": (" of bevel at end 2", "too little", "too much"),
    "bevel1_deg": (" at end 1", "too little", "too much"),
    "bevel2_deg": (" at end 2", "too little", "too much"),
    "bevel_from": (" up from the bottom", "too low", "too high"),
    "wall_width": (" wide along the wall", "too narrow", "too wide"),
    "setting": ("", "too small", "too large"),
    "edge_a": (" along edge A", "too short", "too long"),
    "edge_b": (" along edge B", "too short", "too long"),
    "start_A": (" from end 1 to the cleat on side A", "too little", "too much"),
    "start_B": (" from end 1 to the cleat on side B", "too little", "too much"),
    "start_wall": (" from end 1 to the cleat on the wall", "too little", "too much"),
    "length_A": (" at side A", "too short", "too long"),
    "length_B": (" at side B", "too short", "too long"),
    "length_wall": (" at the wall", "too short", "too long"),
}

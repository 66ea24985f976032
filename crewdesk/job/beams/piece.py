"""A piece of a beam: its readings, its steps' marks, and the gaps found on it."""

from collections.abc import Iterable, Mapping
from datetime import datetime
from fractions import Fraction
from typing import NamedTuple

from crewdesk.errors import BadInput, NotAllowed
from crewdesk.job.beams.forms import USUAL_TRAITS
from crewdesk.job.beams.readings import OF_KIND, OPTIONAL, Reading, readings_of
from crewdesk.job.cuts.cut_figures import AsCut, KeptCut
from crewdesk.job.row import (
    EXACT,
    LINE,
    NOTE,
    OVER_ZERO,
    SHORT,
    TIME,
    Row,
    by_name,
    field,
    many,
    one_of,
)
from crewdesk.job.text_limits import brief
from crewdesk.sentence import Caution
from crewdesk.trade.bounds import zero_or_more
from crewdesk.trade.cuts.gap import Against, Wedge, gap_cautions, wedge
from crewdesk.trade.cuts.shop_machine import WAYS, Way

CURES = ("wedge", "caulk")
PLACES: dict[str, tuple[str, ...]] = {
    "side": ("end 1", "end 2", "ceiling", "bottom"),
    "bottom": ("end 1", "end 2", "edge A", "edge B"),
    "top": ("end 1", "end 2", "edge A", "edge B"),
    "cleats": (),
}
"""Where a gap can be, by kind of piece: at an end's wall, along an edge, at the ceiling; `bottom`
is a side's joint with the bottom board."""
ENDS = ("end 1", "end 2")
USUAL_STOCK, USUAL_BEVEL = Fraction(3, 4), Fraction(5)
"""A wedge's scrap in inches and its bevel in degrees (common practice, no source)."""


def wedged(gap: "Gap") -> bool:
    """Return whether a gap is closed with a wedge."""
    return gap.cure == "wedge"


class Gap(Row, noun="gap"):
    """One gap: `width` in inches, `where` one of `PLACES`, `cause` in words, `cure` one of `CURES`;
    `stock` in inches and `bevel` in degrees of the wedge. `along` is how far from end 1 it is, in
    inches, of a gap that isn't at an end; or None if that wasn't measured."""

    width: Fraction = field(EXACT)
    where: str = field(LINE, "gap location")
    cause: str = field(LINE)
    cure: str = field(one_of(CURES), "gap's fix")
    when: datetime = field(TIME)
    who: str = field(SHORT, "person who measured the gap", default="")
    stock: Fraction = field(EXACT, "wedge's stock", default=USUAL_STOCK, given=wedged)
    bevel: Fraction = field(EXACT, "wedge's bevel", default=USUAL_BEVEL, given=wedged)
    along: Fraction | None = field(EXACT, "gap's distance from end 1", default=None)

    @property
    def against(self) -> Against:
        """What the wood meets there: wood, or a wall or ceiling."""
        return "wood" if self.where in ("bottom", "edge A", "edge B") else "other"

    @property
    def wedge(self) -> Wedge | None:
        """Return the wedge that closes it, if that is its cure; raises `BadInput`."""
        return wedge(self.stock, self.bevel, self.width) if wedged(self) else None

    @property
    def cautions(self) -> tuple[Caution, ...]:
        """Return the gap's cautions; raises `BadInput` if its width is invalid."""
        return gap_cautions(self.width, self.against)

    def check(self) -> None:
        """Raise `BadInput` if its width, its place along the beam or its wedge is invalid."""
        _ = self.cautions, self.wedge
        if self.along is not None:
            zero_or_more("gap's distance from end 1", self.along)
            if self.where in ENDS:
                raise BadInput(
                    "A gap at {where} has no distance from end 1. Leave it empty, or choose "
                    "another gap location.",
                    field="along",
                    where=self.where,
                )

    def check_where(self, kind: str) -> None:
        """Raise `NotAllowed` if a piece of that kind can't have a gap there."""
        if self.where not in PLACES[kind]:
            known = ", ".join(PLACES[kind]) or "none: these pieces have no gaps"
            raise NotAllowed(f"The gap location {brief(self.where)} isn't one of {known}.")


KIND_OF = {"A": "side", "B": "side", "bottom": "bottom", "top": "top", "cleats": "cleats"}
NAME_OF = {"A": "side A", "B": "side B", "bottom": "bottom", "top": "top", "cleats": "cleats"}
PARTNER = {"A": "B", "B": "A"}
MARKS = ("done", "blocked", "skipped")


class Spot(NamedTuple):
    """A piece of a beam: the beam's row and the piece's key."""

    beam: str
    piece: str


class StepMark(Row, noun="step mark"):
    """The mark of a step on a piece.

    state: "done", "blocked" or "skipped"; the last two have a `reason`. override: the reason given
    to override a closed gate, and `gate` its sentence. cut: the figures that a cutting step cut the
    piece to (None in records made before they were kept). kept: why the cut stays though today's
    figures differ.
    """

    state: str = field(one_of(MARKS), "step's state")
    when: datetime = field(TIME)
    reason: str = field(NOTE, "'reason' of a step", default="")
    override: str = field(NOTE, "'override' of a step", default="")
    gate: str = field(NOTE, "'gate' of a step", default="")
    cut: AsCut | None = field(AsCut, default=None)
    kept: KeptCut | None = field(KeptCut, default=None)

    @property
    def behind(self) -> bool:
        """Whether the step needs no more work: done or skipped."""
        return self.state != "blocked"


class OwnCut(Row, noun="cut length of your own"):
    """Your own lengths for the bottom board's two edges, in inches, instead of its reading's;
    `reason` if one is longer than its reading."""

    edge_a: Fraction = field(OVER_ZERO, "cut length of edge A")
    edge_b: Fraction = field(OVER_ZERO, "cut length of edge B")
    when: datetime = field(TIME, "cut length")
    reason: str = field(NOTE, "reason for a cut length", default="")


class OwnScribeCut(Row, noun="scribe cut"):
    """Your choice of how to cut this side to its scribe line; `reason` may be empty."""

    way: Way = field(one_of(WAYS), "way a side is cut to its scribe line")
    when: datetime = field(TIME)
    reason: str = field(NOTE, default="")


class Piece(Row, noun="piece"):
    """One piece.

    key: A, B, bottom, top or cleats. readings: every reading by name, the latest last. steps: marks
    by step id. own_cut: your own lengths of a bottom board. gaps: gaps found at the fix-up.
    scribe_cut: your choice of how to cut a side to its scribe line. before: marks of steps done on
    this board before a cut of it was reopened.
    """

    key: str
    readings: Mapping[str, tuple[Reading, ...]] = field(
        by_name(many(Reading), "reading"), default={}
    )
    steps: Mapping[str, StepMark] = field(by_name(StepMark, "step"), default={})
    traits: frozenset[str] = USUAL_TRAITS
    own_cut: OwnCut | None = field(OwnCut, default=None, lax=True)
    gaps: tuple[Gap, ...] = field(many(Gap, "gap"), default=())
    scribe_cut: OwnScribeCut | None = field(OwnScribeCut, default=None, lax=True)
    before: Mapping[str, StepMark] = field(by_name(StepMark, "step before"), default={})

    @property
    def untouched(self) -> bool:
        """Whether it has no reading, mark or choice."""
        return not (self.readings or self.steps or self.own_cut or self.gaps or self.scribe_cut)

    @property
    def kind(self) -> str:
        """side, bottom, top or cleats."""
        return KIND_OF[self.key]

    @property
    def name(self) -> str:
        """The name as shown: side A, bottom."""
        return NAME_OF[self.key]

    def read(
        self, names: Iterable[str], typed: Mapping[str, Reading] | None = None
    ) -> tuple[Reading | None, ...]:
        """Return the latest readings of those names, in order; `typed` replaces the record's by
        name, to preview a cut before saving."""
        return tuple((typed or {}).get(name) or self.latest(name) for name in names)

    def with_typed(self, typed: Mapping[str, Reading] | None) -> "Piece":
        """Return the piece with unsaved readings, by name."""
        read = {what: (*self.readings.get(what, ()), one) for what, one in (typed or {}).items()}
        return self._replace(readings={**self.readings, **read}) if read else self

    def latest(self, reading: str) -> Reading | None:
        """Return the latest reading of that name."""
        taken = self.readings.get(reading)
        return taken[-1] if taken else None

    @property
    def takes(self) -> tuple[str, ...]:
        """The names of its readings, by its kind and its beam's form."""
        return readings_of(self.kind, self.traits)

    @property
    def asked_for(self) -> tuple[str, ...]:
        """The names of its required readings that are missing."""
        return tuple(what for what in self.takes if what not in OPTIONAL and not self.latest(what))

    def check(self) -> None:
        """Raise `NotAllowed` if it has something that its kind of piece can't have."""
        for name in self.readings:
            if name not in OF_KIND[self.kind]:
                raise NotAllowed(f"The {self.name} of a beam can't have a reading {brief(name)}.")
        if self.own_cut is not None and self.kind != "bottom":
            raise NotAllowed(
                f"Only a bottom board can have a cut length of your own, not the {self.name}."
            )
        for gap in self.gaps:
            gap.check_where(self.kind)
        if self.scribe_cut is not None and self.kind != "side":
            raise NotAllowed(f"Only a side is cut to a scribe line, not the {self.name}.")

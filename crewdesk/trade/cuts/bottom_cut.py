"""The bottom board's cut, from its reading between the walls once the sides are up."""

from fractions import Fraction
from typing import NamedTuple

from crewdesk.trade.angle import tangent
from crewdesk.trade.checked import checked
from crewdesk.trade.cuts.bottom_board import bottom_length
from crewdesk.trade.cuts.caution import Caution, caution
from crewdesk.trade.cuts.forms import FormBoard
from crewdesk.trade.cuts.section import (
    Section,
    bottom_back_width,
    bottom_width,
    relief_per_edge,
)
from crewdesk.trade.cuts.side_board import STEEPEST_WALL
from crewdesk.trade.length import Length, exact
from crewdesk.trade.refusal import Refusal


@checked
class BottomReading(NamedTuple):
    """Wall to wall over the cleats, in inches: along one line, or along both edges.

    Raises `Refusal` `bottom-reading-not-positive`.
    """

    edge_a: Fraction
    edge_b: Fraction | None = None

    def check(self) -> None:
        """Raises `Refusal` as told above."""
        for value in self.edges:
            if value <= 0:
                raise Refusal("bottom-reading-not-positive", reading=value)

    @property
    def edges(self) -> tuple[Fraction, Fraction]:
        """Edge A's and edge B's reading; the one line stands for both."""
        return self.edge_a, self.edge_a if self.edge_b is None else self.edge_b


class BottomCut(NamedTuple):
    """The board's marks in inches: lengths of its two edges at the show face and at the
    back, widths likewise; `flat`, `relief` and `bevel_deg` go round all four edges."""

    edge_a: Fraction
    edge_b: Fraction
    back_a: Length
    back_b: Length
    width: Fraction
    back_width: Length
    flat: Fraction
    relief: Length
    bevel_deg: Fraction
    cautions: tuple[Caution, ...]


def bottom_cut(
    section: Section,
    reading: BottomReading,
    *,
    board: FormBoard | None = None,
    wanted: tuple[Fraction, Fraction] | None = None,
    reason: str = "",
) -> BottomCut:
    """All marks of the bottom board: reading less the section's under-cut at each edge.

    The ends carry the same flat and relief as the edges (common practice, no source), so
    the back is shorter by two reliefs. `board` is the bottom of a form with widths of its
    own; one without relief, as in mitred corners, has square ends. `wanted`, edge A and
    edge B, stands in for what is reckoned; where it is over a reading it takes a `reason`,
    which is then told.

    Raises `Refusal`: `bottom-cut-over-reading`, `bottom-edges-too-far-apart`,
    `bottom-length-not-positive`, `bottom-undercut-out-of-range`.
    """
    width = board.width if board else bottom_width(section)
    apart = abs(reading.edges[0] - reading.edges[1])
    if apart > 2 * width * exact(tangent(Fraction(STEEPEST_WALL))):
        raise Refusal("bottom-edges-too-far-apart", apart=apart, width=width, limit=STEEPEST_WALL)
    edges = wanted or (
        bottom_length(reading.edges[0], section.undercut),
        bottom_length(reading.edges[1], section.undercut),
    )
    plain = board is not None and board.first_edge != "relief"
    relief: Length = Fraction(0) if plain else relief_per_edge(section)
    backs = (edges[0] - 2 * relief, edges[1] - 2 * relief)
    if any(length <= 0 for length in (*edges, *backs)):
        raise Refusal("bottom-length-not-positive", reading=min(edges))
    return BottomCut(
        *edges,
        *backs,
        width,
        board.back_width if board else bottom_back_width(section),
        Fraction(0) if plain else section.flat,
        relief,
        board.first_blade if board else section.bevel,
        _over(edges, reading.edges, reason),
    )


def _over(
    edges: tuple[Fraction, Fraction], readings: tuple[Fraction, Fraction], reason: str
) -> tuple[Caution, ...]:
    over = [(cut, read) for cut, read in zip(edges, readings, strict=True) if cut > read]
    if not over:
        return ()
    cut, read = max(over, key=lambda pair: pair[0] - pair[1])
    if not reason.strip():
        raise Refusal("bottom-cut-over-reading", cut=cut, reading=read)
    return (caution("bottom-cut-over-allowed", cut=cut, reading=read, reason=reason.strip()[:200]),)

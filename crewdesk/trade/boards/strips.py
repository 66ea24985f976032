"""The strips and sections of a cut board, told from where its pieces lie."""

from collections.abc import Callable, Iterable
from fractions import Fraction
from typing import Protocol, TypeVar


class OnBoard(Protocol):
    """Anything with a place on a board: from `start` to `end` along it, from `near` to `far`
    across it, in inches."""

    @property
    def start(self) -> Fraction: ...
    @property
    def end(self) -> Fraction: ...
    @property
    def near(self) -> Fraction: ...
    @property
    def far(self) -> Fraction: ...


Piece = TypeVar("Piece", bound=OnBoard)


def strips_of(pieces: Iterable[Piece]) -> list[tuple[Piece, ...]]:
    """Return the pieces strip by strip, from the board's first edge on: those that a rip from
    end to end does not part lie in one strip."""
    return _bands(pieces, lambda one: (one.near, one.far))


def sections_of(strip: Iterable[Piece]) -> list[tuple[Piece, ...]]:
    """Return a strip's pieces section by section, from the first end on: those that a cut
    across the strip does not part lie in one section."""
    return _bands(strip, lambda one: (one.start, one.end))


def _bands(
    pieces: Iterable[Piece], reach: Callable[[Piece], tuple[Fraction, Fraction]]
) -> list[tuple[Piece, ...]]:
    found: list[list[Piece]] = []
    last = Fraction(0)
    for one in sorted(pieces, key=reach):
        low, high = reach(one)
        if found and low < last:
            found[-1].append(one)
            last = max(last, high)
        else:
            found.append([one])
            last = high
    return [tuple(band) for band in found]

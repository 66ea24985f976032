"""The most valuable way to cut a strip: a knapsack, exact in whole numbers."""

from abc import ABC, abstractmethod
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

Whole = npt.NDArray[np.int64]

ROOM_FOR_TABLE = 6_000_000
"""A table of more cells than this (48 MB) gives way to a sparse one."""


@dataclass(frozen=True)
class Shelf:
    """The cuts that compete for one kind of strip, longest first.

    `sizes` along the strip, `most` of each, `worth` of each, all whole and positive
    (a worth may be zero).
    """

    sizes: tuple[int, ...]
    most: tuple[int, ...]


class Table(ABC):
    """Best worth by what is left of a strip, for each tail of the shelf's cuts.

    Bounded knapsack by dynamic programming (Gilmore and Gomory 1961).
    """

    def __init__(self, shelf: Shelf, worth: list[int]) -> None:
        self.shelf, self.worth = shelf, worth

    @abstractmethod
    def best(self, k: int, left: Any) -> Any:
        """The most that the cuts from the k-th on can be worth in `left`, one or many."""

    @abstractmethod
    def last_as_good(self, k: int, left: int) -> int:
        """The last tail that is worth as much in `left` as the k-th."""

    def pattern(self, left: int, k: int = 0) -> list[tuple[int, int]]:
        """(cut, number) pairs of a best pattern with cuts from the k-th on."""
        found: list[tuple[int, int]] = []
        sizes, worth = self.shelf.sizes, self.worth
        value = int(self.best(k, left))
        while value > 0:
            k = self.last_as_good(k, left)
            n = 1
            while int(self.best(k + 1, left - n * sizes[k])) + n * worth[k] != value:
                n += 1
            found.append((k, n))
            left -= n * sizes[k]
            value -= n * worth[k]
            k += 1
        return found


class FullTable(Table):
    """A cell for every whole length."""

    def __init__(self, shelf: Shelf, worth: list[int], longest: int) -> None:
        super().__init__(shelf, worth)
        cuts = len(shelf.sizes)
        self.rows: Whole = np.zeros((cuts + 1, longest + 1), dtype=np.int64)
        for k in range(cuts - 1, -1, -1):
            size, gain = shelf.sizes[k], worth[k]
            row, after = self.rows[k], self.rows[k + 1]
            row[:] = after
            if gain <= 0:
                continue
            for n in range(1, min(shelf.most[k], longest // size) + 1):
                here = row[n * size :]
                np.maximum(here, after[: longest + 1 - n * size] + n * gain, out=here)

    def best(self, k: int, left: Any) -> Any:
        return self.rows[k][left]

    def last_as_good(self, k: int, left: int) -> int:
        # Down the column the worth only falls, so the equal ones stand at its top.
        column = self.rows[k:, left]
        return k + int(np.searchsorted(-column, -column[0], side="right")) - 1


class SparseTable(Table):
    """Only the lengths at which the worth rises, for strips of very many whole lengths
    (Nemhauser and Ullmann 1969)."""

    def __init__(self, shelf: Shelf, worth: list[int], longest: int) -> None:
        super().__init__(shelf, worth)
        length, value = np.zeros(1, dtype=np.int64), np.zeros(1, dtype=np.int64)
        rows = [(length, value)]
        for k in range(len(shelf.sizes) - 1, -1, -1):
            size, gain = shelf.sizes[k], worth[k]
            if gain > 0:
                times = range(min(shelf.most[k], longest // size) + 1)
                lengths = np.concatenate([length + n * size for n in times])
                values = np.concatenate([value + n * gain for n in times])
                fits = lengths <= longest
                lengths, values = lengths[fits], values[fits]
                order = np.lexsort((-values, lengths))
                lengths, values = lengths[order], values[order]
                highest = np.maximum.accumulate(values)
                rises = np.concatenate(([True], highest[1:] > highest[:-1]))
                length, value = lengths[rises], values[rises]
            rows.append((length, value))
        self.rows = rows[::-1]

    def best(self, k: int, left: Any) -> Any:
        length, value = self.rows[k]
        return value[np.searchsorted(length, left, side="right") - 1]

    def last_as_good(self, k: int, left: int) -> int:
        value = self.best(k, left)
        while self.best(k + 1, left) == value:
            k += 1
        return k


def table(shelf: Shelf, worth: list[int], longest: int) -> Table:
    """The table that suits: full, or sparse where a full one would need too much room."""
    fits = (len(shelf.sizes) + 1) * (longest + 1) <= ROOM_FOR_TABLE
    return (FullTable if fits else SparseTable)(shelf, worth, longest)

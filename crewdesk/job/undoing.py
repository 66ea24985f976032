"""Which change undo takes back next, and which redo makes again."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from crewdesk.job.change import Change


@dataclass
class Undoing:
    """Numbers of changes, folded from the history in its order.

    `made` are the changes that stand, the latest last; `taken` those that were
    undone and can be made again, the next one last. `earlier` are changes before those that
    were folded in, the latest first, which are folded in as far as they are needed.
    """

    made: list[int] = field(default_factory=list)
    taken: list[int] = field(default_factory=list)
    earlier: Iterator[tuple[int, Change]] = field(default_factory=lambda: iter(()))
    _settled: set[int] = field(default_factory=set)

    def note(self, number: int, change: Change) -> None:
        """Fold in change `number`; a new one lets go of what could be made again, and one
        without edits is none that could be taken back."""
        if change.undoes is not None:
            self.stands(change.undoes)
            self.made.remove(change.undoes)
            self.taken.append(change.undoes)
        elif change.redoes is not None:
            self.taken.remove(change.redoes)
            self.made.append(change.redoes)
        elif change.edits:
            self.made.append(number)
            self.taken.clear()

    def stands(self, number: int) -> bool:
        """Whether a change stands, which `made` then has."""
        while number not in self.made and self._go_back():
            pass
        return number in self.made

    @property
    def latest(self) -> int:
        """The number of the latest change that stands; 0 where there is none."""
        while not self.made and self._go_back():
            pass
        return self.made[-1] if self.made else 0

    def _go_back(self) -> bool:
        """Fold in one change that is earlier than all that were; whether there was any."""
        for number, change in self.earlier:
            self.fold_earlier(number, change)
            return True
        return False

    def fold_earlier(self, number: int, change: Change) -> None:
        """Fold in a change that is earlier than all that were: what it did counts where nothing
        later undid it or made it again."""
        turned = change.undoes if change.undoes is not None else change.redoes
        which = number if turned is None else turned
        if which not in self._settled and change.undoes is None and change.edits:
            self.made.insert(0, which)
        self._settled.add(which)


def folded(changes: Iterable[Change]) -> Undoing:
    """What undo knows after a history, from its first change on."""
    undoing = Undoing()
    for number, change in enumerate(changes, 1):
        undoing.note(number, change)
    return undoing


def folded_back(back: Iterable[tuple[int, Change]], upto: int) -> Undoing:
    """What undo knows after a history whose changes come with their numbers, the latest first.

    No more of them are read than those after number `upto`, and those that tell what can be
    made again.
    """
    undoing, earlier, since = Undoing(), iter(back), []
    known = False
    for number, change in earlier:
        undoing.fold_earlier(number, change)
        if not known:
            since.append(change)
            known = bool(change.edits) and change.undoes is None and change.redoes is None
        if known and number <= upto + 1:
            break
    for change in reversed(since):
        if change.undoes is not None:
            undoing.taken.append(change.undoes)
        elif change.redoes is not None:
            undoing.taken.remove(change.redoes)
    undoing.earlier = earlier
    return undoing

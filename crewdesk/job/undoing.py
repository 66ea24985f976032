"""Which change undo takes back next, and which redo makes again."""

from collections.abc import Iterable
from dataclasses import dataclass, field

from crewdesk.job.change import Change


@dataclass
class Undoing:
    """Numbers of changes, folded from the history in its order.

    `made` are the changes that stand, the latest last; `taken` those that were
    undone and can be made again, the next one last.
    """

    made: list[int] = field(default_factory=list)
    taken: list[int] = field(default_factory=list)

    def note(self, number: int, change: Change) -> None:
        """Fold in change `number`; a new one lets go of what could be made again, and one
        without edits is none that could be taken back."""
        if change.undoes is not None:
            self.made.remove(change.undoes)
            self.taken.append(change.undoes)
        elif change.redoes is not None:
            self.taken.remove(change.redoes)
            self.made.append(change.redoes)
        elif change.edits:
            self.made.append(number)
            self.taken.clear()


def folded(changes: Iterable[Change]) -> Undoing:
    """What undo knows after a history, from its first change on."""
    undoing = Undoing()
    for number, change in enumerate(changes, 1):
        undoing.note(number, change)
    return undoing

"""Which change undo takes back next, and which redo makes again."""

from dataclasses import dataclass, field


@dataclass
class Undoing:
    """Numbers of changes, folded from the history in its order.

    `made` are the changes that stand, the latest last; `taken` those that were
    undone and can be made again, the next one last.
    """

    made: list[int] = field(default_factory=list)
    taken: list[int] = field(default_factory=list)

    def note(self, number: int, undoes: int | None = None, redoes: int | None = None) -> None:
        """Fold in change `number`; a new one lets go of what could be made again."""
        if undoes is not None:
            self.made.remove(undoes)
            self.taken.append(undoes)
        elif redoes is not None:
            self.taken.remove(redoes)
            self.made.append(redoes)
        else:
            self.made.append(number)
            self.taken.clear()

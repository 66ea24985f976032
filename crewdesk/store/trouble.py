"""What the disk can do to a record, each told in one sentence."""

from pathlib import Path

from crewdesk.job.refused import Refused
from crewdesk.store.regular import NotRegular


class Unsure(OSError):
    """The disk did not say that it took a line, and could not be made to take it back."""


class NotSaved(Refused):
    """A change that the disk did not take; the record stays as it was before.

    With `unsure` it may stand on the disk all the same, which the next start finds out; it
    must not be made again before that.
    """

    def __init__(self, path: Path, error: OSError | str) -> None:
        said = error if isinstance(error, str) else f"says '{error.strerror or error}'"
        self.why = f"{path.parent} {said}"
        self.unsure = isinstance(error, Unsure)
        super().__init__(
            f"Not saved for sure: {self.why}. It may stand all the same: open crewdesk again when "
            "the disk is back, and look before you do it again."
            if self.unsure
            else f"Not saved: {self.why}; nothing was changed, try again when it is mended."
        )

    def held(self) -> "NotSaved":
        """The same of a change that stands in memory until it can be saved."""
        self.args = (f"Not saved: {self.why}. It is kept here until it can be saved.",)
        return self


class ReadOnly(Refused):
    """A change of a job that another crewdesk is writing, or that can't be written at all."""

    def __init__(self, path: Path, why: str = "is open in another crewdesk") -> None:
        super().__init__(
            f"{path.parent.name} {why}, so it can only be read here; nothing was changed."
        )


class Damaged(Refused):
    """A file that can't be read as what it should be; it is never written over."""

    def __init__(self, path: Path, why: str) -> None:
        shown = f"{path.parent.name}/{path.name}"
        super().__init__(f"{shown} can't be read: {why}. It was left as it is.")
        self.path = path
        self.why = why


class Newer(Damaged):
    """A file that a newer crewdesk wrote; nothing here may put an older one in its place."""


def unreadable(path: Path, error: OSError) -> Damaged:
    """What to raise where the system does not let a file be read, or it is no regular file."""
    if isinstance(error, NotRegular):
        return Damaged(path, str(error.strerror))
    return Damaged(path, f"the system says '{error.strerror or error}'")

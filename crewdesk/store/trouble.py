"""What the disk can do to a record, each told in one sentence."""

from pathlib import Path

from crewdesk.job.refused import Refused


class NotSaved(Refused):
    """A change that the disk did not take; the record stays as it was before."""

    def __init__(self, path: Path, error: OSError) -> None:
        why = error.strerror or str(error)
        super().__init__(
            f"Not saved: {path.parent} says '{why}'; nothing was changed, try again when it is "
            "mended."
        )


class ReadOnly(Refused):
    """A change of a job that another crewdesk is writing."""

    def __init__(self, path: Path) -> None:
        super().__init__(
            f"{path.stem} is open in another crewdesk, so it can only be read here; "
            "nothing was changed."
        )


class Damaged(Refused):
    """A file that can't be read as what it should be; it is never written over."""

    def __init__(self, path: Path, why: str) -> None:
        super().__init__(f"{path.name} can't be read: {why}. It was left as it is.")
        self.path = path
        self.why = why

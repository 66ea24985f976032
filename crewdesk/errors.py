"""The tree of errors that can be shown to a person.

An error's text is for people: the problem, then the fix. It is written where the error is
raised, and the error carries what a program needs to react to it.
"""

from pathlib import Path

from crewdesk.length import DEFAULT_STEP, Step
from crewdesk.sentence import filled


class CrewdeskError(Exception):
    """Base of every error whose text is meant for the user.

    text: the sentence. With `facts` it is a template: each `{name}` in it is the fact of that
    name, a `Fraction` being a length in inches.
    """

    def __init__(self, text: str, /, **facts: object) -> None:
        super().__init__(text)
        self.text = text
        self.facts = facts
        self.step = DEFAULT_STEP

    def __str__(self) -> str:
        """Return the text, lengths as `step` has them: the job's, once it is known."""
        return self.shown(self.step)

    def shown(self, step: Step = DEFAULT_STEP) -> str:
        """Return the text with its facts, lengths in millimeters where `step` is."""
        return filled(self.text, self.facts, step) if self.facts else self.text


class BadInput(CrewdeskError, ValueError):
    """Input that can't be used; `field` names the one at fault, `line` its line from 1."""

    def __init__(
        self, text: str, /, *, field: str = "", line: int | None = None, **facts: object
    ) -> None:
        super().__init__(text, **facts, **({"line": line} if facts and line else {}))
        self.field = field
        self.line = line


class Unread(BadInput):
    """Text in none of the accepted forms."""


class Ambiguous(BadInput):
    """Text with more than one meaning; `readings` has each one, as to be typed."""

    def __init__(self, given: str, readings: tuple[str, ...]) -> None:
        super().__init__(
            "{text} can be read in more than one way. Type {readings}.",
            text=given,
            readings=readings,
        )
        self.readings = readings


class NotAllowed(CrewdeskError):
    """A valid change or question that isn't allowed now."""


class ClockDoubt(NotAllowed):
    """A change that would be saved with an impossible time."""


class ReadOnly(NotAllowed):
    """A change of a job that another crewdesk is writing, or that can't be written at all."""

    def __init__(self, path: Path, why: str = "is open in another crewdesk") -> None:
        super().__init__(
            f"{path.parent.name} {why}, so it can only be read here. Nothing was changed."
        )


class Damaged(CrewdeskError):
    """A damaged file; it is never overwritten."""

    def __init__(self, path: Path, why: str) -> None:
        shown = f"{path.parent.name}/{path.name}"
        super().__init__(f"{shown} can't be read: {why}. The file was left as it is.")
        self.path = path
        self.why = why


class Newer(Damaged):
    """A file of a newer crewdesk; it must not be replaced by an older one."""


class NotSaved(CrewdeskError):
    """A change that couldn't be saved; the record stays as it was before.

    With `unsure` it may be on the disk anyway, which the next start finds out; it must not be made
    again before that.
    """

    def __init__(self, path: Path, error: OSError | str) -> None:
        said = error if isinstance(error, str) else f"says '{error.strerror or error}'"
        self.why = f"{path.parent} {said}"
        self.unsure = isinstance(error, Unsure)
        super().__init__(
            f"Not certainly saved: {self.why}. It may be on the disk. When the disk is "
            "back, open crewdesk again and check before you repeat it."
            if self.unsure
            else (f"Not saved: {self.why}. Nothing was changed. Try again once that is fixed.")
        )

    def held(self) -> "NotSaved":
        """Return the same error for a change that is kept in memory until it can be saved."""
        self.text = f"Not saved: {self.why}. It is kept here until it can be saved."
        return self


class Unsure(OSError):
    """The disk didn't confirm a line, and the line couldn't be removed again."""

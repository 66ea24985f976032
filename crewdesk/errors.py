"""The one tree of errors that a person can be shown.

An error's text is one sentence for people: the problem, then the fix. It is written
where the error is raised, and carries what a program needs to react.
"""


class CrewdeskError(Exception):
    """Base of every error whose text is meant for the user."""


class NotAllowed(CrewdeskError):
    """A change or a question that makes sense but may not be done now."""


class ClockDoubt(NotAllowed):
    """A change that would be saved with a time that can't be right."""


class Refusal(CrewdeskError, ValueError):
    """Bad input told by a name: `crewdesk.job.sentences` holds its sentence.

    `why` names the reason in a fixed, lower-case, hyphened form (`length-empty`).
    `facts` holds the values that the sentence needs: what was given, what would be
    accepted. New code raises `BadInput`, whose sentence stands where it is raised.
    """

    def __init__(self, why: str, **facts: object) -> None:
        super().__init__(why)
        self.why = why
        self.facts = facts


class BadInput(Refusal):
    """Input that can't be used; `field` names the one at fault, `line` its line from 1."""

    def __init__(self, sentence: str, *, field: str = "", line: int | None = None) -> None:
        super().__init__(sentence)
        self.field = field
        self.line = line

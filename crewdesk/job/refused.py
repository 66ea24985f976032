"""What the record says when it won't take a change."""

from crewdesk.job.sentences import sentence
from crewdesk.trade.refusal import Refusal


class Refused(Exception):
    """A change or a question that can't be taken; its text is one sentence for people."""


def said(error: Refusal | Refused) -> str:
    """The sentence of either kind of refusal."""
    return sentence(error) if isinstance(error, Refusal) else str(error)

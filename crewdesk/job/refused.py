"""What the record says when it won't take a change."""

from crewdesk.errors import BadInput
from crewdesk.errors import NotAllowed as Refused
from crewdesk.errors import Refusal as Refusal
from crewdesk.job.sentences import sentence

__all__ = ["Refused", "said"]


def said(error: Refusal | Refused) -> str:
    """The sentence of either kind of refusal."""
    if isinstance(error, BadInput) or not isinstance(error, Refusal):
        return str(error)
    return sentence(error)

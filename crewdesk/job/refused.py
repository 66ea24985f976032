"""What the record says when it won't take a change."""

from crewdesk.errors import BadInput
from crewdesk.errors import NotAllowed as Refused
from crewdesk.errors import Refusal as Refusal
from crewdesk.job.sentences import sentence
from crewdesk.length import DEFAULT_STEP, Step

__all__ = ["Refused", "said"]


def said(error: Refusal | Refused, step: Step = DEFAULT_STEP) -> str:
    """The sentence of either kind of refusal, its lengths shown to `step` where that is one in
    millimeters."""
    if isinstance(error, BadInput) or not isinstance(error, Refusal):
        return str(error)
    return sentence(error, step)

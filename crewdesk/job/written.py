"""Rows of the record as they were written, maybe by hand: whatever is wrong is one sentence."""

from collections.abc import Iterator
from contextlib import contextmanager

from crewdesk.job.refused import Refused, said
from crewdesk.trade.refusal import Refusal


@contextmanager
def read_plainly(what: str, built: str, *also: type[Exception]) -> Iterator[None]:
    """Read a document inside; raises `Refused` alone.

    `what` names it where it lacks something; `built` ends the sentence where it holds
    something of the wrong kind, and `also` are further errors that mean so.
    """
    wrong: tuple[type[Exception], ...] = (TypeError, AttributeError, *also)
    try:
        yield
    except Refusal as refusal:
        raise Refused(said(refusal)) from None
    except KeyError as lacking:
        raise Refused(f"{what} has no {lacking.args[0]}.") from None
    except wrong:
        raise Refused(f"{what} is not built as {built}.") from None

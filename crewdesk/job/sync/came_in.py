"""What changes that came in from elsewhere did to a job, in words."""

from collections.abc import Collection, Sequence
from typing import NamedTuple

from crewdesk.job.change import Change
from crewdesk.job.cuts.open_cuts import Keys, open_cuts, open_keys, told_since
from crewdesk.job.record import Record
from crewdesk.job.sync.conflicts import unsettled


class Before(NamedTuple):
    """A job before changes came in: the cuts that wait for an answer, and the rows of the
    changes that are kept apart."""

    cuts: Keys
    apart: Collection[str]

    @staticmethod
    def of(record: Record) -> "Before":
        """Return what is compared later."""
        return Before(open_keys(record), {one.row for one in unsettled(record)})


class CameIn(NamedTuple):
    """What came in: `changes` in one sentence, `apart` which was changed in two places, `cuts`
    which cuts wait for an answer by it, or stay as they are since their step is gone; each "" where
    there is nothing to say. `asks` says whether any cut of the job waits for an answer."""

    changes: str
    apart: str
    cuts: str
    asks: bool = False


def came_in(record: Record, before: Before, came: Sequence[Change]) -> CameIn:
    """Return what the changes `came` did to a job that was as `before`."""
    apart = [one for one in unsettled(record) if one.row not in before.apart]
    made = [one for one in came if not any(edit.at[0] == "unsettled" for edit in one.edits)]
    return CameIn(
        _changes(made),
        _apart([one.what for one in apart]),
        told_since(record, before.cuts),
        bool(open_cuts(record)),
    )


def _changes(came: Sequence[Change]) -> str:
    if not came:
        return ""
    if len(came) == 1:
        return f"1 change made on another computer: {came[0].what}."
    return f"{len(came)} changes made on another computer, the last: {came[-1].what}."


def _apart(whats: Sequence[str]) -> str:
    if not whats:
        return ""
    more = f" and {len(whats) - 1} more" if len(whats) > 1 else ""
    return f"Changed in two places: {whats[0]}{more}. Both are kept."

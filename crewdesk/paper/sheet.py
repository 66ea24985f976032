"""A sheet: what a command prints about a job, in lines for people and as one JSON object."""

from collections.abc import Callable
from typing import Any, NamedTuple

from crewdesk.job.job_row import Job
from crewdesk.paper.plain import plain


class Sheet(NamedTuple):
    """`lines` for people; `tell` gives the same as one JSON object, when it is asked for."""

    lines: tuple[str, ...]
    tell: Callable[[], dict[str, Any]]

    @property
    def values(self) -> dict[str, Any]:
        """The same as one JSON object."""
        return self.tell()


def heading(job: Job, what: str) -> str:
    """The sheet's first line: the job's name, the site and what the sheet tells."""
    where = f", {plain(job.site)}" if job.site else ""
    return f"{plain(job.name)}{where}: {what}"


def job_values(id_: str, job: Job) -> dict[str, str]:
    """The job as every sheet's JSON names it."""
    return {
        "id": id_,
        "name": job.name,
        "customer": job.customer,
        "site": job.site,
        "step": job.step.name,
    }

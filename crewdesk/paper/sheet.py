"""A sheet: what a command prints about a job, in lines for people and as one JSON object."""

from dataclasses import dataclass
from typing import Any

from crewdesk.job.record import Job
from crewdesk.paper.plain import plain


@dataclass(frozen=True)
class Sheet:
    """`lines` for people, `values` as one JSON object."""

    lines: tuple[str, ...]
    values: dict[str, Any]


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

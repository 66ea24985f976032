"""What is true of the whole job, as it is asked for."""

from typing import TYPE_CHECKING, Any
from zoneinfo import ZoneInfo

from crewdesk.job.beams import change_job
from crewdesk.job.change import rows_after
from crewdesk.job.record import Job
from crewdesk.job.refused import Refused
from crewdesk.screens.ask import Answer, Ask, Line
from crewdesk.trade.length import STEPS

if TYPE_CHECKING:
    from crewdesk.screens.app import CrewdeskApp


def ask_job(app: "CrewdeskApp") -> None:
    """Ask for the job's name, customer, site, notes, shown step and zone; then change them."""
    shown = _shown(app.record.job)

    def fields(answer: Answer) -> dict[str, Any]:
        return {key: _read(key, text) for key, text in answer.items() if text != shown[key]}

    def check(answer: Answer) -> None:
        if new := fields(answer):
            app.record.check(rows_after(app.record.tables, change_job(app.record, new, app.now())))

    def given(answer: Answer | None) -> None:
        if answer is not None and (new := fields(answer)):
            app.do(lambda record, now: change_job(record, new, now))

    lines = (
        Line("name", "Name", shown["name"]),
        Line("customer", "Customer", shown["customer"]),
        Line("site", "Site", shown["site"]),
        Line("notes", "Notes", shown["notes"]),
        Line("step", "Lengths shown to", shown["step"], ", ".join(STEPS)),
        Line("zone", "Time zone of the site", shown["zone"], "as America/Denver, or empty"),
    )
    app.push_screen(Ask("About this job", lines, check), callback=given)


def _shown(job: Job) -> dict[str, str]:
    return {
        "name": job.name,
        "customer": job.customer,
        "site": job.site,
        "notes": job.notes.replace("\n", " / "),
        "step": job.step.name,
        "zone": job.zone,
    }


def _read(key: str, text: str) -> str:
    """One field; raises `Refused` where a shown step or a zone is not known."""
    value = " ".join(text.split())
    if key == "step":
        value = value.removesuffix(" in").removesuffix('"')
        if value not in STEPS:
            raise Refused(f"Lengths can be shown to {', '.join(STEPS)}.")
    if key == "zone" and value:
        try:
            ZoneInfo(value)
        except (OSError, ValueError, LookupError):
            raise Refused(
                f"{value} is no time zone that is known here; write one as America/Denver, "
                "or leave it empty."
            ) from None
    return value

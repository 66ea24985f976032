"""What is true of the whole job, as it is asked for."""

from collections.abc import Callable
from datetime import datetime

from crewdesk.errors import CrewdeskError, NotAllowed
from crewdesk.job.about_job import change_about, instruments_shown, nails_shown
from crewdesk.job.books.customers import customer_told
from crewdesk.job.change import Change
from crewdesk.job.record import Job, Record
from crewdesk.job.today import typed_zone
from crewdesk.length import STEPS
from crewdesk.screens.ask import Answer, Field, ask_change
from crewdesk.screens.program import Program

_READ_TO, _NAILS = "read-", "nails-"
"""Before the name of an instrument, and of what nails hold, in the key of a line."""


def ask_job(app: Program) -> None:
    """Ask for what is true of the whole job; then change it in one change."""
    shown = _shown(app.record.job)
    instruments, nails = instruments_shown(app.record), nails_shown(app.record)

    def change(record: Record, answer: Answer, now: datetime) -> Change:
        fields = {k: _read(k, answer[k]) for k in shown if answer[k] != shown[k]}
        return change_about(
            record,
            fields,
            {name: answer[_READ_TO + name] for name in instruments},
            {what: answer[_NAILS + what] for what in nails},
            now,
        )

    fields = (
        Field("name", "Name", shown["name"]),
        Field("customer", "Customer", shown["customer"]),
        Field("site", "Site", shown["site"]),
        Field("notes", "Notes", shown["notes"]),
        Field("step", "Lengths shown to", shown["step"], ", ".join(STEPS)),
        Field("zone", "Time zone of the site", shown["zone"], "as America/Denver, or empty"),
        *(
            Field(_READ_TO + name, f"The {name} is read to", step, "its finest mark")
            for name, step in instruments.items()
        ),
        *(
            Field(_NAILS + what, f"Nails for the {what}", length, "empty: longest that fits")
            for what, length in nails.items()
        ),
    )
    ask_change(app, "About this job", fields, change, live=customer_live(app), same_will_do=True)


def customer_live(app: Program) -> Callable[[Answer], str] | None:
    """What is told of a job's customer as one types, where the shop keeps customers."""
    try:
        books = app.desk.shop.record()
    except CrewdeskError:
        return None
    return (lambda answer: customer_told(books, answer["customer"])) if books.customers else None


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
    """One field; raises `NotAllowed` or `BadInput` where a shown step or a zone isn't known."""
    value = " ".join(text.split())
    if key == "step":
        value = value.removesuffix(" in").removesuffix('"')
        if value not in STEPS:
            raise NotAllowed(f"Lengths can be shown to {', '.join(STEPS)}.")
    return typed_zone(value) if key == "zone" else value

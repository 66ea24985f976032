"""Questions about a job: at the first start, for a new one step by step, and for all of it
later."""

from collections.abc import Callable
from datetime import datetime
from typing import TYPE_CHECKING

from crewdesk.errors import CrewdeskError, NotAllowed
from crewdesk.job.beams.beams import (
    add_listed,
    change_about,
    instruments_shown,
    nails_shown,
    new_job,
)
from crewdesk.job.beams.forms import FORM_CHOICES, FORM_NAMES, FORMS_TYPED, USUAL, form_typed
from crewdesk.job.books.shop_lists import customer_note, keep_form, known_forms
from crewdesk.job.books.shop_record import change_shop, changed_values
from crewdesk.job.books.shop_rows import KeptForm
from crewdesk.job.change import Change
from crewdesk.job.job_row import Job
from crewdesk.job.record import Record
from crewdesk.job.text_limits import checked_name
from crewdesk.job.time.today import typed_zone
from crewdesk.length import DEFAULT_STEP, STEPS, Step, show_length
from crewdesk.paper.lengths import with_unit
from crewdesk.screens.parts.actions import key_words
from crewdesk.screens.parts.ask import Answer, Field, ask, ask_change, choose
from crewdesk.screens.parts.coach import FIRST
from crewdesk.screens.parts.program import Program
from crewdesk.trade.cuts.section import Section
from crewdesk.trade.cuts.shop_machine import MITER_TILTS
from crewdesk.trade.read_length import read_length

if TYPE_CHECKING:
    from crewdesk.screens.run_sheet.beam_list import Beams

_READ_TO, _NAILS = "read-", "nails-"
"""The prefix of an instrument's name, and of nailed pieces, in a field's key."""


def ask_job(app: Program) -> None:
    """Ask for the values of the whole job; then change it in one change."""
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
        Field("step", "Lengths shown to", shown["step"], answers=tuple(STEPS)),
        Field(
            "zone",
            "Time zone of the site",
            shown["zone"],
            "for example America/Denver; can be empty",
        ),
        *(
            Field(_READ_TO + name, f"The {name} reads to", step, "its finest mark")
            for name, step in instruments.items()
        ),
        *(
            Field(_NAILS + what, f"Nails for the {what}", length, "empty: the longest that fits")
            for what, length in nails.items()
        ),
    )
    ask_change(app, "About this job", fields, change, live=customer_live(app), same_will_do=True)


def customer_live(app: Program) -> Callable[[Answer], str] | None:
    """Return the note on a job's customer during typing, if there are customers."""
    try:
        books = app.books
    except CrewdeskError:
        return None
    return (lambda answer: customer_note(books, answer["customer"])) if books.customers else None


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
    """Return one field; raises `NotAllowed` or `BadInput` for an unknown step or zone."""
    value = " ".join(text.split())
    if key == "step":
        value = value.removesuffix(" in").removesuffix('"')
        if value not in STEPS:
            raise NotAllowed(f"Lengths can be shown to {', '.join(STEPS)}.")
    return typed_zone(value) if key == "zone" else value


_OTHER = "other"
_MOST_OFFERED = 8


def begin_job(app: Program) -> None:
    """Ask for a new job, one thing after the other; then open it on its run sheet."""

    ask(
        app,
        "A new job",
        (
            Field("name", "Name", hint="what you call it"),
            Field("customer", "Customer"),
            Field("site", "Site"),
        ),
        lambda answer: choose_form(app, lambda kept: _ask_beams(app, answer, kept)),
        lambda answer: checked_name(answer["name"], "job"),
        does="Go on",
        live=customer_live(app),
    )


def choose_form(app: Program, then: Callable[[KeptForm], None]) -> None:
    """Ask for one of the saved beam types, or another one."""
    try:
        books = app.books
    except CrewdeskError as refused:
        app.tell(str(refused), "wrong")
        return
    known = known_forms(books)[:_MOST_OFFERED]
    step = STEPS[books.shop.step]

    ways = [(str(at), form_told(one, step)) for at, one in enumerate(known)]
    choose(
        app,
        "Their beam type",
        (*ways, (_OTHER, "Another one")),
        lambda way: ask_form(app, then) if way == _OTHER else then(known[int(way)]),
    )


def form_told(kept: KeptForm, step: Step) -> str:
    """Return a beam type in a few words: its name, its section, how it is made."""
    wide, high = (with_unit(one, step) for one in (kept.section.width, kept.section.height))
    return f"{kept.name}: {wide} wide, {high} high; {kept.form.name}"


def ask_form(app: Program, then: Callable[[KeptForm], None] | None = None) -> None:
    """Ask for a beam type; save it if it is given a name, and continue with it."""
    usual = Section(*(read_length(text) for text in ("8", "10")))
    measures = (
        Field("width", "Beam width", "8", "over the outside of the sides"),
        Field("height", "Side height", "10", "to start with, before scribing"),
        Field("side_thickness", "Side thickness", show_length(usual.side_thickness), ""),
        Field("bottom_thickness", "Bottom thickness", show_length(usual.bottom_thickness), ""),
        Field("reveal", "Reveal", show_length(usual.reveal), "bottom board above the sides' edges"),
    )
    keys = [one.key for one in measures]

    def made(answer: Answer) -> KeptForm:
        section = Section(**{key: read_length(answer[key]) for key in keys})
        form = form_typed(answer["form"])
        if answer["name"].strip() or then is None:
            books = app.books
            keep_form(books, answer["name"], form.id, section, app.now())
        return KeptForm("", answer["name"].strip() or "This job's", form, section)

    def given(answer: Answer) -> None:
        kept = made(answer)
        if answer["name"].strip():
            name, form, section = answer["name"], kept.form.id, kept.section
            app.do_shop(lambda books, now: keep_form(books, name, form, section, now))
        if then is not None:
            then(kept)

    fields = (
        *measures,
        Field(
            "form",
            "Made as",
            USUAL,
            FORMS_TYPED,
            FORM_CHOICES,
            FORM_NAMES,
        ),
        Field("name", "Save it under the name", hint="for later jobs; can stay empty"),
    )
    ask(app, "Another type", fields, given, made, does="Go on")


def _ask_beams(app: Program, answer: Answer, kept: KeptForm) -> None:
    step = STEPS[app.shop.step]

    def given(beams: "Beams | None") -> None:
        begun = _begun(app, answer, kept, step)
        if begun is None:
            return
        app.open_job(begun)
        if beams and app.job is not None:
            app.do(lambda record, now: add_listed(record, beams, now, form=kept.form.id))

    title = f"{answer['name'].strip()}: its beams"
    app.open("list-of-beams", step, title=title, does="Start the job", callback=given)


def _begun(app: Program, answer: Answer, kept: KeptForm, step: Step) -> str | None:
    """Return the id of the new job; None if it can't be written, which is shown."""
    now: datetime = app.now()
    try:
        return app.desk.create(
            new_job(
                answer["name"],
                kept.section,
                now,
                customer=answer["customer"],
                site=answer["site"],
                step=step.name,
                other_work=app.shop.other_work,
            )
        )
    except CrewdeskError as refused:
        app.tell(str(refused), "wrong")
        return None


def ask_more_beams(app: Program) -> None:
    """Ask for more beams of the open job, as a list."""

    def given(beams: "Beams | None") -> None:
        if beams:
            app.do(lambda record, now: add_listed(record, beams, now))

    app.open("list-of-beams", app.record.job.step, title="More beams", callback=given)


_ABOUT = "Five questions. You can change the answers later ({}). Nothing leaves this computer."
_WAYS = (
    ("sample", "Look around in a sample job, where you can do no harm"),
    ("own", "Start my first job"),
)
_UNITS = {
    **dict.fromkeys(("", "in", "inch", "inches"), DEFAULT_STEP.name),
    **dict.fromkeys(("mm", "metric", "millimetres", "millimeters"), "mm"),
}


def ask_first(app: Program) -> None:
    """Ask for the person, the units, the hourly rate, and the saws' tilt, which each batch's fence
    depends on; then how to start."""

    def values(answer: Answer) -> dict[str, str]:
        return {
            "who": answer["who"],
            "step": read_units(answer["step"]),
            "hour": answer["hour"],
            "saw_tilt": answer["saw_tilt"],
            "miter_tilt": answer["miter_tilt"],
        }

    def check(answer: Answer) -> None:
        changed_values(app.books, values(answer))

    def given(answer: Answer) -> None:
        new = values(answer)
        if changed_values(app.books, new):
            app.do_shop(lambda books, now: change_shop(books, new, now))
        app.coaching = FIRST
        ask_how_to_begin(app)

    fields = (
        Field("who", "Your name", hint="shown beside every reading; can stay empty"),
        Field("step", "Lengths in", "inches", "inches or mm; also 1/16, 1/32, 1/64"),
        Field("hour", "Your hourly rate", hint="for example 85; can stay empty"),
        Field(
            "saw_tilt",
            "Table saw's blade tilts",
            "left",
            "left or right, seen from the front",
            answers=("left", "right"),
        ),
        Field("miter_tilt", "Miter saw's blade tilts", "left", answers=MITER_TILTS),
    )
    about = _ABOUT.format(key_words(app.key("everywhere.shop")))
    ask(app, "Welcome to crewdesk", fields, given, check, does="Go on", about=about)


def read_units(text: str) -> str:
    """Return the step of shown lengths from a typed unit; raises `NotAllowed`."""
    plain = " ".join(text.casefold().split()).removesuffix('"').removesuffix(" in")
    if plain in STEPS:
        return plain
    if plain not in _UNITS:
        raise NotAllowed(f"Lengths are in inches or mm, shown to {', '.join(STEPS)}.")
    return _UNITS[plain]


def ask_how_to_begin(app: Program) -> None:
    """Ask whether to open the sample job or start a first one."""

    def chosen(way: str) -> None:
        if way == "sample":
            app.visit_sample()
        else:
            begin_job(app)

    choose(app, "How do you want to start?", _WAYS, chosen)

"""A new job, step by step: its name, the form of its beams, the beams."""

from collections.abc import Callable
from datetime import datetime
from typing import TYPE_CHECKING

from crewdesk.errors import CrewdeskError
from crewdesk.job.beams import new_job
from crewdesk.job.books.kept_form import KeptForm
from crewdesk.job.books.kept_forms import keep_form, known_forms
from crewdesk.job.forms import FORM_CHOICES, FORMS_TYPED, USUAL, form_typed
from crewdesk.job.listed_beams import add_listed
from crewdesk.job.words import checked_name
from crewdesk.length import STEPS, Step, show_length
from crewdesk.paper.lengths import with_unit
from crewdesk.screens.ask import Answer, Field, ask, choose
from crewdesk.screens.job_form import customer_live
from crewdesk.screens.program import Program
from crewdesk.trade.cuts.section import Section
from crewdesk.trade.read_length import read_length

if TYPE_CHECKING:
    from crewdesk.screens.beam_list import Beams

_OTHER = "other"
_MOST_OFFERED = 8


def begin_job(app: Program) -> None:
    """Ask for a new job, one thing after the other; then open it on its run sheet."""

    ask(
        app,
        "A new job",
        (
            Field("name", "Name", hint="as you call it"),
            Field("customer", "Customer"),
            Field("site", "Site"),
        ),
        lambda answer: choose_form(app, lambda kept: _ask_beams(app, answer, kept)),
        lambda answer: checked_name(answer["name"], "job"),
        does="Go on",
        live=customer_live(app),
    )


def choose_form(app: Program, then: Callable[[KeptForm], None]) -> None:
    """Let one of the forms that the shop keeps be chosen, or another one be told."""
    try:
        books = app.desk.shop.record()
    except CrewdeskError as refused:
        app.tell(str(refused), "wrong")
        return
    known = known_forms(books)[:_MOST_OFFERED]
    step = STEPS[books.shop.step]

    ways = [(str(at), form_told(one, step)) for at, one in enumerate(known)]
    choose(
        app,
        "The form of its beams",
        (*ways, (_OTHER, "Another one")),
        lambda way: ask_form(app, then) if way == _OTHER else then(known[int(way)]),
    )


def form_told(kept: KeptForm, step: Step) -> str:
    """A form in a few words: its name, its section, how it is made."""
    wide, high = (with_unit(one, step) for one in (kept.section.width, kept.section.height))
    return f"{kept.name}: {wide} wide, {high} high; {kept.form.name}"


def ask_form(app: Program, then: Callable[[KeptForm], None] | None = None) -> None:
    """Ask for a form of the shop's own; keep it where it is given a name, and go on with it."""
    usual = Section(*(read_length(text) for text in ("8", "10")))
    measures = (
        Field("width", "Beam width", "8", "over the outside of the sides"),
        Field("height", "Side height", "10", "to start with, before the scribe"),
        Field("side_thickness", "Side thickness", show_length(usual.side_thickness), ""),
        Field("bottom_thickness", "Bottom thickness", show_length(usual.bottom_thickness), ""),
        Field("reveal", "Reveal", show_length(usual.reveal), "bottom above the sides' edges"),
    )
    keys = [one.key for one in measures]

    def made(answer: Answer) -> KeptForm:
        section = Section(**{key: read_length(answer[key]) for key in keys})
        form = form_typed(answer["form"])
        if answer["name"].strip() or then is None:
            books = app.desk.shop.record()
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
        Field("form", "Made as", USUAL, FORMS_TYPED, FORM_CHOICES),
        Field("name", "Keep it under the name", hint="for later jobs; may stay empty"),
    )
    ask(app, "Another form", fields, given, made, does="Go on")


def _ask_beams(app: Program, answer: Answer, kept: KeptForm) -> None:
    step = STEPS[app.desk.shop.shop().step]

    def given(beams: "Beams | None") -> None:
        begun = _begun(app, answer, kept, step)
        if begun is None:
            return
        app.open_job(begun)
        if beams and app.job is not None:
            app.do(lambda record, now: add_listed(record, beams, now, form=kept.form.id))

    title = f"{answer['name'].strip()}: its beams"
    app.open("list-of-beams", step, title=title, does="Begin the job", callback=given)


def _begun(app: Program, answer: Answer, kept: KeptForm, step: Step) -> str | None:
    """The id of the job, written; None where it can't be, which is told."""
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
                other_work=app.desk.shop.shop().other_work,
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

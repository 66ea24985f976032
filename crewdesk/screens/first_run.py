"""The first start: five questions, then the sample job or the first job of one's own."""

from crewdesk.errors import NotAllowed
from crewdesk.job.books.change_shop import change_shop, changed_values
from crewdesk.job.shop_machine import MITER_TILTS
from crewdesk.length import DEFAULT_STEP, STEPS
from crewdesk.screens.actions import key_words
from crewdesk.screens.ask import Answer, Field, ask, choose
from crewdesk.screens.new_job import begin_job
from crewdesk.screens.program import Program

_ABOUT = "Five questions; all of it can be changed later ({}). Nothing leaves this machine."
_WAYS = (
    ("sample", "Look round in a sample job, to which you can do no harm"),
    ("own", "Begin my first job"),
)
_UNITS = {
    **dict.fromkeys(("", "in", "inch", "inches"), DEFAULT_STEP.name),
    **dict.fromkeys(("mm", "metric", "millimetres", "millimeters"), "mm"),
}


def ask_first(app: Program) -> None:
    """Ask who works here, in which units, for how much, and which way the saws' blades tilt,
    since each batch's fence goes by that; then how to begin."""

    def values(answer: Answer) -> dict[str, str]:
        return {
            "who": answer["who"],
            "step": read_units(answer["step"]),
            "hour": answer["hour"],
            "saw_tilt": answer["saw_tilt"],
            "miter_tilt": answer["miter_tilt"],
        }

    def check(answer: Answer) -> None:
        changed_values(app.desk.shop.record(), values(answer))

    def given(answer: Answer) -> None:
        new = values(answer)
        if changed_values(app.desk.shop.record(), new):
            app.do_shop(lambda books, now: change_shop(books, new, now))
        ask_how_to_begin(app)

    fields = (
        Field("who", "Your name", hint="beside every reading; may stay empty"),
        Field("step", "Lengths in", "inches", "inches or mm; also 1/16, 1/32, 1/64"),
        Field("hour", "What an hour costs", hint="for example 85; may stay empty"),
        Field("saw_tilt", "Table saw's blade tilts", "left", "left or right, seen from in front"),
        Field("miter_tilt", "Miter saw's blade tilts", "left", ", ".join(MITER_TILTS)),
    )
    about = _ABOUT.format(key_words(app.key("everywhere.shop")))
    ask(app, "Welcome to crewdesk", fields, given, check, does="Go on", about=about)


def read_units(text: str) -> str:
    """What lengths are shown to, out of how one names units; raises `NotAllowed`."""
    plain = " ".join(text.casefold().split()).removesuffix('"').removesuffix(" in")
    if plain in STEPS:
        return plain
    if plain not in _UNITS:
        raise NotAllowed(f"Lengths are in inches or mm, shown to {', '.join(STEPS)}.")
    return _UNITS[plain]


def ask_how_to_begin(app: Program) -> None:
    """The sample job, or a first one of one's own."""

    def chosen(way: str) -> None:
        if way == "sample":
            app.visit_sample()
        else:
            begin_job(app)

    choose(app, "How do you want to begin?", _WAYS, chosen)

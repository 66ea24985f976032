"""What is true of the shop, read as it is typed, value by value."""

from collections.abc import Callable, Mapping
from decimal import Decimal
from fractions import Fraction
from typing import Any

from crewdesk.errors import BadInput, NotAllowed
from crewdesk.job.shop_machine import FACES_DOWN, MITER_TILTS, SCRIBE_CUTS
from crewdesk.job.stages import EXTRA_WORK, MOST_STAGES, USUAL_OTHER_WORK
from crewdesk.job.words import LONGEST_NAME, brief, checked_line, checked_name, checked_note
from crewdesk.length import STEPS, show_length
from crewdesk.trade.angle import read_angle
from crewdesk.trade.books.money import LONGEST_TERMS, Rate, read_money, read_percent, read_rate
from crewdesk.trade.books.price_sorts import SORTS
from crewdesk.trade.books.rounding import read_rule
from crewdesk.trade.cuts.instruments import read_own
from crewdesk.trade.read_length import read_length, read_off

EXTRAS = "extras"
TAXABLE = (*SORTS, EXTRAS)
PACKS = ("tape", "nails", "adhesive", "glue", "sandpaper", "wedges")
"""What a job uses up besides boards (see `crewdesk.job.lumber.used_up`)."""
SLOPED = "sloped"
LAST_FIRST_NUMBER = 1_000_000
PAPERS = ("letter", "A4")
_MOST_PROUD = Fraction(1, 4)
_STEEPEST_BACK_CUT = 45


def _text(what: str) -> Callable[[Any], str]:
    return lambda text: checked_line(text, what, most=LONGEST_NAME)


def _typed(text: Any, what: str) -> str:
    return checked_line(text, what)


def _level(text: Any) -> str:
    level = _typed(text, "length of the level")
    if read_length(level) <= 0:
        raise NotAllowed("A level has a length of more than zero; nothing was changed.")
    return level


def _one_of(known: tuple[str, ...], what: str) -> Callable[[Any], Any]:
    def read(text: Any) -> str:
        if text not in known:
            ways = ", ".join(known)
            raise NotAllowed(
                f"{what} {ways}; {brief(text)} is none of these, and nothing was changed."
            )
        return str(text)

    return read


def _hour(text: Any) -> Decimal | None:
    plain = _typed(text, "hourly rate")
    if not plain:
        return None
    rate = read_rate(plain)
    if rate.per != "hour" or not rate.amount:
        raise NotAllowed("An hourly rate is more than zero, as 85 or 85/h; nothing was changed.")
    return rate.amount


def _stage_rates(value: Any) -> Mapping[str, Rate]:
    if not isinstance(value, Mapping):
        raise NotAllowed("Rates by stage are an object of rates, as 95/h, by the stages' ids.")
    found = {
        checked_line(stage, "stage of a rate", most=LONGEST_NAME): read_rate(_typed(text, "rate"))
        for stage, text in value.items()
    }
    if any(not rate.amount for rate in found.values()):
        raise NotAllowed(
            "A stage's rate is more than zero; leave the stage out for the usual rate."
        )
    return found


def _packs(value: Any) -> Mapping[str, Decimal]:
    if not isinstance(value, Mapping):
        raise NotAllowed("What packs cost is an object of amounts, as 8.40, by what is in them.")
    if strange := [name for name in value if name not in PACKS]:
        raise NotAllowed(f"Packs are of {', '.join(PACKS)}, not of {brief(strange[0])}.")
    return {name: read_money(_typed(text, "price of a pack")) for name, text in value.items()}


def _times(value: Any) -> Mapping[str, Decimal]:
    if not isinstance(value, Mapping):
        raise NotAllowed("Times are an object of percentages, as 125, by section or for sloped.")
    found = {}
    for name, text in value.items():
        part = read_percent(_typed(text, "percentage of the time"), "time")
        if not part:
            raise NotAllowed(
                "A beam takes more than 0 % of a plain one's time; nothing was changed."
            )
        found[name if name == SLOPED else _size(name)] = part
    return found


def _size(name: str) -> str:
    """A section's width and height as they are shown; raises `NotAllowed` or `BadInput`."""
    width, sign, height = name.lower().removesuffix(" in").partition(" x ")
    if not sign:
        raise NotAllowed(f"{brief(name)} is no section; write {SLOPED}, or one as 8 x 10.")
    return f"{show_length(read_length(width))} x {show_length(read_length(height))}"


def _percent(sort: str) -> Callable[[Any], Decimal]:
    return lambda text: read_percent(_typed(text, f"percentage of {sort}") or "0", sort)


def _taxed(text: Any) -> tuple[str, ...]:
    words = _typed(text, "list of what is taxed").replace(",", " ").split()
    if strange := [word for word in words if word not in TAXABLE]:
        raise NotAllowed(f"Tax can be on {', '.join(TAXABLE)}, not on {brief(strange[0])}.")
    return tuple(sort for sort in TAXABLE if sort in words)


def _whole(what: str, least: int, most: int) -> Callable[[Any], int]:
    def read(text: Any) -> int:
        plain = _typed(str(text) if type(text) is int else text, what)
        short = plain.isascii() and plain.isdecimal() and len(plain) <= 9
        if not short or not least <= int(plain) <= most:
            raise NotAllowed(
                f"The {what} is a whole number from {least} to {most}, not {brief(plain)}."
            )
        return int(plain)

    return read


def _round_to(text: Any) -> Decimal:
    step = read_money(_typed(text, "step of a price") or "0.01")
    if not step:
        raise NotAllowed("A price goes to steps of more than zero, as 0.01, 1 or 10.")
    return step


def _yes(text: Any) -> bool:
    if isinstance(text, bool):
        return text
    plain = text if isinstance(text, str) else ""
    if plain.strip().lower() not in ("yes", "no"):
        raise NotAllowed(f"Write yes or no, not {brief(text)}; nothing was changed.")
    return plain.strip().lower() == "yes"


def _other_work(text: Any) -> tuple[str, ...]:
    names = tuple(
        checked_name(one, "kind of work")
        for one in _typed(text, "list of other work").split(",")
        if one.strip()
    )
    if len({name.casefold() for name in names}) < len(names):
        raise NotAllowed("There are two kinds of work of one name; nothing was changed.")
    extra = next(one.name for one in USUAL_OTHER_WORK if one.id == EXTRA_WORK)
    if extra not in names:
        raise NotAllowed(
            f"{extra} stays among them, for change orders' hours; nothing was changed."
        )
    if len(names) > MOST_STAGES:
        raise NotAllowed(f"A job has at most {MOST_STAGES} kinds of other work.")
    return names


def _proud(text: Any) -> str:
    proud = _typed(text, "amount left proud of the scribe line")
    if not 0 <= read_off(proud) <= _MOST_PROUD:
        raise BadInput(
            f"{brief(proud)} is too much to leave proud of the line. Type up to "
            f"{show_length(_MOST_PROUD)} in."
        )
    return proud


def _back_cut(text: Any) -> str:
    if not (angle := _typed(text, "back-cut")):
        raise BadInput("Type the back-cut in degrees, for example 3; 0 leaves the edge square.")
    read_angle(angle, below=_STEEPEST_BACK_CUT)
    return angle


def scribers_typed(text: str) -> tuple[tuple[str, Fraction], ...]:
    """The scribing tools and how far each holds the pencil off, in inches, out of text like
    ``block = 3/4, pencil = 1/8``; raises `BadInput`."""
    tools: dict[str, Fraction] = {}
    for one in (part for part in text.split(",") if part.strip()):
        name, sign, offset = one.partition("=")
        if not sign or not name.strip():
            raise BadInput(f"{brief(one.strip())} is not a tool. Type its name = its offset.")
        if name.strip() in tools:
            raise BadInput(f"There are two tools named {brief(name.strip())}. Give each a name.")
        tools[name.strip()] = read_length(offset)
        if tools[name.strip()] <= 0:
            raise BadInput(f"The offset of {brief(name.strip())} must be more than zero.")
    return tuple(tools.items())


def _scribers(text: Any) -> str:
    plain = _typed(text, "list of scribing tools")
    scribers_typed(plain)
    return plain


def _instruments(value: Any) -> Mapping[str, str]:
    """How far instruments can be off by themselves, as typed, by name."""
    if not isinstance(value, Mapping):
        raise NotAllowed(
            "The accuracy of instruments in this file is damaged; nothing was changed."
        )
    found = {name: _typed(text, "accuracy of an instrument") for name, text in value.items()}
    for name, text in found.items():
        read_own(name, text)
    return found


READERS: dict[str, Callable[[Any], Any]] = {
    "who": _text("name of who reads"),
    "level": _level,
    "step": _one_of(tuple(STEPS), "Lengths are shown to"),
    "theme": _text("name of a theme"),
    "layout": _one_of(("usual", "large"), "The layout is"),
    "name": _text("name of the shop"),
    "address": lambda text: checked_note(text, "address", most=400),
    "licence": _text("license number"),
    "phone": _text("phone number"),
    "email": _text("e-mail address"),
    "hour": _hour,
    "stage_rates": _stage_rates,
    "tax": _percent("tax"),
    "tax_per": _one_of(("invoice", "line"), "Tax is rounded per"),
    "taxed": _taxed,
    "terms": _whole("number of days to pay", 0, LONGEST_TERMS),
    "terms_text": lambda text: checked_note(text, "text of the terms", most=1000),
    "rounding": lambda text: read_rule(_typed(text, "rounding rule")),
    "round_to": _round_to,
    "round_up": _yes,
    "packs": _packs,
    "times": _times,
    "waste": _percent("waste"),
    "markup": _percent("markup"),
    "overhead": _percent("overhead"),
    "profit": _percent("profit"),
    "deposit": _percent("deposit"),
    "first_number": _whole("first number", 1, LAST_FIRST_NUMBER),
    "paper": _one_of(PAPERS, "Paper is"),
    "other_work": _other_work,
    "zone": _text("time zone"),  # whether it is known is checked where it is typed
    "saw_tilt": _one_of(("left", "right"), "The table saw's blade tilts"),
    "miter_tilt": _one_of(MITER_TILTS, "The miter saw's blade tilts"),
    "face_down": _one_of(FACES_DOWN, "The face down is"),
    "scribe_cut": _one_of(SCRIBE_CUTS, "The way boards are cut to the scribe line is"),
    "scribe_proud": _proud,
    "scribe_back_cut": _back_cut,
    "scribers": _scribers,
    "instruments": _instruments,
}

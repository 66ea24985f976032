"""The business settings, for all jobs: who works, rates, terms."""

from collections.abc import Callable, Mapping
from decimal import Decimal
from fractions import Fraction
from typing import TYPE_CHECKING, Any, Literal, cast

from crewdesk.errors import BadInput, NotAllowed
from crewdesk.job.row import SHORT, Kind, Row, field, note, one_of
from crewdesk.job.steps.stages import EXTRA_WORK, MOST_STAGES, USUAL_OTHER_WORK
from crewdesk.job.text_limits import LONGEST_NAME, brief, checked_line, checked_name
from crewdesk.length import STEPS, show_length
from crewdesk.trade.angle import read_angle
from crewdesk.trade.books.money import (
    LONGEST_TERMS,
    SORTS,
    Rate,
    TaxPer,
    read_money,
    read_percent,
    read_rate,
)
from crewdesk.trade.books.rounding import Rule, read_rule
from crewdesk.trade.cuts.instruments import read_own
from crewdesk.trade.cuts.saw_passes import Hand
from crewdesk.trade.cuts.shop_machine import (
    BY_BOARD,
    FACES_DOWN,
    MITER_TILTS,
    SCRIBE_CUTS,
    MiterTilt,
    ShopMachine,
    Way,
)
from crewdesk.trade.read_length import read_length, read_off

if TYPE_CHECKING:
    from crewdesk.trade.books.stage_rates import Factors

MAPPED = ("stage_rates", "packs", "times", "instruments")
"""The settings that hold several values, each by its name."""
ZERO = Decimal(0)
EXTRAS = "extras"
TAXABLE = (*SORTS, EXTRAS)
PACKS = ("tape", "nails", "adhesive", "glue", "sandpaper", "wedges")
"""The supplies of a job besides boards (see `crewdesk.job.lumber.buying_list`)."""
SLOPED = "sloped"
LAST_FIRST_NUMBER = 1_000_000
PAPERS = ("letter", "A4")
_USUAL_WORK = tuple(one.name for one in USUAL_OTHER_WORK)
_MOST_PROUD = Fraction(1, 4)
_STEEPEST_BACK_CUT = 45


def _typed_by(read: Callable[[Any], Any]) -> Kind:
    return Kind(lambda text, _: read(text), str, "as typed")


def _typed(text: Any, what: str) -> str:
    return checked_line(text, what)


def _level(text: Any) -> str:
    level = _typed(text, "level's length")
    if read_length(level) <= 0:
        raise NotAllowed("A level's length must be more than zero.")
    return level


def _hour(text: Any) -> Decimal | None:
    plain = _typed(text, "hourly rate")
    if not plain:
        return None
    rate = read_rate(plain)
    if rate.per != "hour" or not rate.amount:
        raise NotAllowed("An hourly rate must be more than zero. Type it like 85 or 85/h.")
    return rate.amount


def _stage_rates(value: Any) -> Mapping[str, Rate]:
    if not isinstance(value, Mapping):
        raise NotAllowed(
            "The stage rates in this file are damaged. They must be like 95/h, by stage."
        )
    found = {
        checked_line(stage, "rate's stage", most=LONGEST_NAME): read_rate(_typed(text, "rate"))
        for stage, text in value.items()
    }
    if any(not rate.amount for rate in found.values()):
        raise NotAllowed(
            "A stage's rate must be more than zero. Leave it empty for the usual rate."
        )
    return found


def _packs(value: Any) -> Mapping[str, Decimal]:
    if not isinstance(value, Mapping):
        raise NotAllowed(
            "The pack prices in this file are damaged. They must be like 8.40, by contents."
        )
    if strange := [name for name in value if name not in PACKS]:
        raise NotAllowed(
            f"There is no pack of {brief(strange[0])}. Packs are of {', '.join(PACKS)}."
        )
    return {name: read_money(_typed(text, "pack's price")) for name, text in value.items()}


def _times(value: Any) -> Mapping[str, Decimal]:
    if not isinstance(value, Mapping):
        raise NotAllowed(
            "The time percentages in this file are damaged. They must be "
            "like 125, by section or for sloped."
        )
    found = {}
    for name, text in value.items():
        part = read_percent(_typed(text, "time percentage"), "time")
        if not part:
            raise NotAllowed("A percentage of the time must be more than 0%.")
        found[name if name == SLOPED else _size(name)] = part
    return found


def _size(name: str) -> str:
    """Return a section's width and height as shown; raises `NotAllowed` or `BadInput`."""
    width, sign, height = name.lower().removesuffix(" in").partition(" x ")
    if not sign:
        raise NotAllowed(f"{brief(name)} isn't a section. Type {SLOPED}, or a section like 8 x 10.")
    return f"{show_length(read_length(width))} x {show_length(read_length(height))}"


def _percent(text: Any, sort: str) -> Decimal:
    return read_percent(_typed(text, f"{sort} percentage") or "0", sort)


_PERCENT = Kind(_percent, str, "percent as typed")


def _taxed(text: Any) -> tuple[str, ...]:
    words = _typed(text, "list of taxable lines").replace(",", " ").split()
    if strange := [word for word in words if word not in TAXABLE]:
        raise NotAllowed(f"Tax can't be on {brief(strange[0])}. It can be on {', '.join(TAXABLE)}.")
    return tuple(sort for sort in TAXABLE if sort in words)


def _whole(least: int, most: int) -> Kind:
    def read(text: Any, what: str) -> int:
        plain = _typed(str(text) if type(text) is int else text, what)
        short = plain.isascii() and plain.isdecimal() and len(plain) <= 9
        if not short or not least <= int(plain) <= most:
            raise NotAllowed(
                f"The {what} must be a whole number from {least} to {most}, not {brief(plain)}."
            )
        return int(plain)

    return Kind(read, str, "whole number as typed")


def _round_to(text: Any) -> Decimal:
    step = read_money(_typed(text, "price increment") or "0.01")
    if not step:
        raise NotAllowed("A price increment must be more than zero. Type it like 0.01, 1 or 10.")
    return step


def _yes(text: Any) -> bool:
    if isinstance(text, bool):
        return text
    plain = text if isinstance(text, str) else ""
    if plain.strip().lower() not in ("yes", "no"):
        raise NotAllowed(f"Type yes or no, not {brief(text)}.")
    return plain.strip().lower() == "yes"


def _other_work(text: Any) -> tuple[str, ...]:
    names = tuple(
        checked_name(one, "kind of work")
        for one in _typed(text, "list of other work").split(",")
        if one.strip()
    )
    if len({name.casefold() for name in names}) < len(names):
        raise NotAllowed("There are two kinds of other work with one name. Rename one.")
    extra = next(one.name for one in USUAL_OTHER_WORK if one.id == EXTRA_WORK)
    if extra not in names:
        raise NotAllowed(
            f"{extra} can't be removed: change orders' hours go there. Nothing was changed."
        )
    if len(names) > MOST_STAGES:
        raise NotAllowed(f"A job can have up to {MOST_STAGES} kinds of other work.")
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
    """Return the scribing tools and their offsets, in inches, from text such as ``block = 3/4,
    pencil = 1/8``; raises `BadInput`."""
    tools: dict[str, Fraction] = {}
    for one in (part for part in text.split(",") if part.strip()):
        name, sign, offset = one.partition("=")
        if not sign or not name.strip():
            raise BadInput(f"{brief(one.strip())} isn't a tool. Type its name = its offset.")
        if name.strip() in tools:
            raise BadInput(f"Two tools have the name {brief(name.strip())}. Rename one.")
        tools[name.strip()] = read_length(offset)
        if tools[name.strip()] <= 0:
            raise BadInput(f"The offset of {brief(name.strip())} must be more than zero.")
    return tuple(tools.items())


def _scribers(text: Any) -> str:
    plain = _typed(text, "scribing tools")
    scribers_typed(plain)
    return plain


def _instruments(value: Any) -> Mapping[str, str]:
    """Return the instruments' own errors, as typed, by name."""
    if not isinstance(value, Mapping):
        raise NotAllowed("The instruments' accuracy in this file is damaged. Nothing was changed.")
    found = {name: _typed(text, "instrument's accuracy") for name, text in value.items()}
    for name, text in found.items():
        read_own(name, text)
    return found


def _rule(text: Any) -> Rule:
    return read_rule(_typed(text, "rounding rule"))


class Shop(Row, noun="shop"):
    """`who` takes the readings; `level` is the length of the level at hand, as typed;
    `step` is what lengths are shown to in a new job; `theme` and
    `layout` are the screen's.

    `name`, `address`, `licence`, `phone` and `email` head every letter. `hour` is what an hour
    costs, `stage_rates` what a stage costs if that is another. `tax` in percent is on the `taxed`
    sorts of line, rounded per line or invoice. An invoice is due `terms` days after its date.
    Worked time is billed by the rule `rounding`; a price goes to a multiple of `round_to`, upwards
    if `round_up`. `packs` is what a pack of each of `PACKS` costs. `waste`, `markup`, `overhead`,
    `profit` and `deposit` are in percent. The first document's number is `first_number`; `paper` is
    what is printed on. A new job has the kinds of `other_work` outside its stages. `times` is how
    much of a plain beam's time one takes, in percent, by `SLOPED` for its ceiling or by its section
    as ``8 x 10``. `zone` is the business's time zone by its IANA name, "" for the computer's; see
    `crewdesk.job.time.today`. From `saw_tilt` on are the saws and the scribing tools, lengths and
    angles as typed (see `ShopMachine`). `instruments` is how far an instrument can be off by itself
    if that is not usual, by its name and as typed.
    """

    who: str = field(SHORT, "name of the person measuring", default="")
    level: str = field(_typed_by(_level), default="24")
    step: str = field(one_of(STEPS), "step that lengths are shown to", default="1/32")
    theme: str = field(SHORT, "theme name", default="")
    layout: str = field(one_of(("usual", "large")), "layout", default="usual")
    name: str = field(SHORT, "business name", default="")
    address: str = field(note(400), "address", default="")
    licence: str = field(SHORT, "license number", default="")
    phone: str = field(SHORT, "phone number", default="")
    email: str = field(SHORT, "email address", default="")
    hour: Decimal | None = field(_typed_by(_hour), default=None)
    stage_rates: Mapping[str, Rate] = field(_typed_by(_stage_rates), default={})
    tax: Decimal = field(_PERCENT, "tax", default=ZERO)
    tax_per: TaxPer = field(
        one_of(("invoice", "line")), "way that tax is rounded", default="invoice"
    )
    taxed: tuple[str, ...] = field(_typed_by(_taxed), default=("materials", "consumables"))
    terms: int = field(_whole(0, LONGEST_TERMS), "payment terms", default=30)
    terms_text: str = field(note(1000), "terms' text", default="")
    rounding: Rule = field(_typed_by(_rule), default=Rule())
    round_to: Decimal = field(_typed_by(_round_to), default=Decimal("0.01"))
    round_up: bool = field(_typed_by(_yes), default=False)
    packs: Mapping[str, Decimal] = field(_typed_by(_packs), default={})
    times: Mapping[str, Decimal] = field(_typed_by(_times), default={})
    waste: Decimal = field(_PERCENT, "waste", default=ZERO)
    markup: Decimal = field(_PERCENT, "markup", default=ZERO)
    overhead: Decimal = field(_PERCENT, "overhead", default=ZERO)
    profit: Decimal = field(_PERCENT, "profit", default=ZERO)
    deposit: Decimal = field(_PERCENT, "deposit", default=Decimal(30))
    first_number: int = field(_whole(1, LAST_FIRST_NUMBER), "first number", default=1)
    paper: str = field(one_of(PAPERS), "paper", default="letter")
    other_work: tuple[str, ...] = field(
        _typed_by(_other_work), default=tuple(one.name for one in USUAL_OTHER_WORK)
    )
    zone: str = field(SHORT, "time zone", default="")
    saw_tilt: Hand = field(
        one_of(("left", "right")), "tilt of the table saw's blade", default="left"
    )
    miter_tilt: MiterTilt = field(
        one_of(MITER_TILTS), "tilt of the miter saw's blade", default="left"
    )
    face_down: Literal["narrow", "back", "show"] = field(
        one_of(FACES_DOWN), "face down", default="narrow"
    )
    scribe_cut: str = field(
        one_of(SCRIBE_CUTS), "way boards are cut to the scribe line", default=BY_BOARD
    )
    scribe_proud: str = field(_typed_by(_proud), default="1/32")
    scribe_back_cut: str = field(_typed_by(_back_cut), default="3")
    scribers: str = field(_typed_by(_scribers), default="")
    instruments: Mapping[str, str] = field(_typed_by(_instruments), default={})

    @property
    def machine(self) -> "ShopMachine":
        """The saws and the scribing tools, for a batch's settings."""
        return ShopMachine(
            self.saw_tilt,
            self.face_down,
            None if self.scribe_cut == BY_BOARD else cast("Way", self.scribe_cut),
            read_off(self.scribe_proud),
            read_angle(self.scribe_back_cut),
            scribers_typed(self.scribers),
            self.miter_tilt,
        )

    @property
    def factors(self) -> "Factors":
        """The factors on a plain beam's time for other beams."""
        from crewdesk.trade.books.stage_rates import Factors

        parts = {key: Fraction(percent) / 100 for key, percent in self.times.items()}
        sloped = {SLOPED: parts.pop(SLOPED)} if SLOPED in parts else {}
        sections = {f"{size} in": part for size, part in parts.items()}
        return Factors({**Factors().ceilings, **sloped}, sections)


def shown(shop: Shop, key: str) -> Any:
    """Return a setting as typed, which is also how the record keeps it; those of `MAPPED` by
    name."""
    value = getattr(shop, key)
    if isinstance(value, Mapping):
        return {
            name: f"{one.amount}/{one.per}" if isinstance(one, Rate) else str(one)
            for name, one in value.items()
        }
    if isinstance(value, Rule):
        return f"{value.minutes} {value.toward} {value.per}" if value.minutes else "none"
    if isinstance(value, tuple):
        return ", ".join(value)
    if isinstance(value, bool):
        return "yes" if value else "no"
    return "" if value is None else str(value)

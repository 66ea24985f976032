"""What is true of the shop over all jobs: who works, at which rates, on which terms."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, fields
from datetime import datetime
from decimal import Decimal
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from crewdesk.job.change import Change, Doc, edit
from crewdesk.job.other_work import read_other_work
from crewdesk.job.refused import Refused, said
from crewdesk.job.rows import ONLY_ROW
from crewdesk.job.stages import USUAL_OTHER_WORK
from crewdesk.job.words import LONGEST_NAME, brief, checked_line, checked_note
from crewdesk.trade.books.estimate import SORTS
from crewdesk.trade.books.invoice import LONGEST_TERMS
from crewdesk.trade.books.money import Rate, TaxPer, read_money, read_percent, read_rate
from crewdesk.trade.books.rounding import Rule, read_rule
from crewdesk.trade.books.stage_rates import Factors
from crewdesk.trade.length import STEPS, read_length, show_length
from crewdesk.trade.refusal import Refusal

if TYPE_CHECKING:
    from crewdesk.job.books.shop_record import ShopRecord

EXTRAS = "extras"
TAXABLE = (*SORTS, EXTRAS)
MAPPED = ("stage_rates", "packs", "times")
"""The values that are several, each by what it is for."""
PACKS = ("tape", "nails", "adhesive", "glue", "sandpaper", "wedges")
"""What a job uses up besides boards (see `crewdesk.job.lumber.used_up`)."""
SLOPED = "sloped"
LAST_FIRST_NUMBER = 1_000_000
PAPERS = ("letter", "A4")
ZERO = Decimal(0)


@dataclass(frozen=True)
class Shop:
    """`who` takes the readings; `level` is the length of the level at hand, as typed;
    `step` is what lengths are shown to in a new job; `theme` is the screen's.

    `name`, `address`, `licence`, `phone` and `email` head every letter. `hour` is what an
    hour costs, `stage_rates` what a stage costs where that is another. `tax` in percent is
    on the `taxed` sorts of line, rounded per line or invoice. An invoice is due `terms` days
    after its date. Worked time is billed by the rule `rounding`; a price goes to a multiple
    of `round_to`, upwards if `round_up`. `packs` is what a pack of each of `PACKS` costs.
    `waste`, `markup`, `overhead`, `profit` and `deposit` are in percent. The first document's
    number is `first_number`; `paper` is what is printed on. A new job has the kinds of
    `other_work` outside its stages. `times` is how much of a plain beam's time one takes, in
    percent, by `SLOPED` for its ceiling or by its section as ``8 x 10``.
    """

    who: str = ""
    level: str = "24"
    step: str = "1/32"
    theme: str = ""
    name: str = ""
    address: str = ""
    licence: str = ""
    phone: str = ""
    email: str = ""
    hour: Decimal | None = None
    stage_rates: Mapping[str, Rate] = field(default_factory=dict)
    tax: Decimal = ZERO
    tax_per: TaxPer = "invoice"
    taxed: tuple[str, ...] = ("materials", "consumables")
    terms: int = 30
    terms_text: str = ""
    rounding: Rule = field(default_factory=Rule)
    round_to: Decimal = Decimal("0.01")
    round_up: bool = False
    packs: Mapping[str, Decimal] = field(default_factory=dict)
    times: Mapping[str, Decimal] = field(default_factory=dict)
    waste: Decimal = ZERO
    markup: Decimal = ZERO
    overhead: Decimal = ZERO
    profit: Decimal = ZERO
    deposit: Decimal = Decimal(30)
    first_number: int = 1
    paper: str = "letter"
    other_work: tuple[str, ...] = tuple(one.name for one in USUAL_OTHER_WORK)

    @property
    def factors(self) -> Factors:
        """How many times a plain beam's time others take."""
        parts = {key: Fraction(percent) / 100 for key, percent in self.times.items()}
        sloped = {SLOPED: parts.pop(SLOPED)} if SLOPED in parts else {}
        sections = {f"{size} in": part for size, part in parts.items()}
        return Factors({**Factors().ceilings, **sloped}, sections)

    @staticmethod
    def from_doc(_row: str, doc: Doc) -> "Shop":
        """The shop as it stands in its record; raises `Refused`."""
        try:
            return Shop(**{key: read(doc[key]) for key, read in _READERS.items() if key in doc})
        except Refusal as refusal:
            raise Refused(said(refusal)) from None


def shown(shop: Shop, key: str) -> Any:
    """A value of the shop as it is typed, and as the record keeps it; those of `MAPPED`
    by what each is for."""
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


def change_shop(record: "ShopRecord", values: Mapping[str, Any], now: datetime) -> Change:
    """The change that gives the shop other values, each as typed (see `shown`).

    Raises `Refused`, and `Refusal` where a value can't be read.
    """
    new = changed_values(record, values)
    if not new:
        raise Refused("Nothing is different; nothing was changed.")
    if "first_number" in new and record.tables.get("documents"):
        raise Refused("Invoices were issued already, so their first number stays as it was.")
    at = ("shop", ONLY_ROW)
    edits = [edit(record.tables, (*at, key), value) for key, value in new.items()]
    if ONLY_ROW not in record.tables.get("shop", {}):
        edits = [edit(record.tables, at, new)]
    return Change(f"changed the shop: {', '.join(new).replace('_', ' ')}", tuple(edits), now)


def changed_values(record: "ShopRecord", values: Mapping[str, Any]) -> Doc:
    """Those of the values that are others than the shop has; raises as `change_shop`."""
    new: Doc = {}
    for key, value in values.items():
        if key not in _READERS:
            raise Refused(f"The shop has no {brief(key)}; it has {', '.join(_READERS)}.")
        read = _READERS[key](value)
        if read != getattr(record.shop, key):
            new[key] = shown(Shop(**{key: read}), key)
    return new


def _text(what: str) -> Callable[[Any], str]:
    return lambda text: checked_line(text, what, most=LONGEST_NAME)


def _typed(text: Any, what: str) -> str:
    return checked_line(text, what)


def _level(text: Any) -> str:
    level = _typed(text, "length of the level")
    if read_length(level) <= 0:
        raise Refused("A level has a length of more than zero; nothing was changed.")
    return level


def _one_of(known: tuple[str, ...], what: str) -> Callable[[Any], Any]:
    def read(text: Any) -> str:
        if text not in known:
            raise Refused(f"{what} {', '.join(known)}; nothing was changed.")
        return str(text)

    return read


def _hour(text: Any) -> Decimal | None:
    plain = _typed(text, "hourly rate")
    if not plain:
        return None
    rate = read_rate(plain)
    if rate.per != "hour" or not rate.amount:
        raise Refused("An hourly rate is more than zero, as 85 or 85/h; nothing was changed.")
    return rate.amount


def _stage_rates(value: Any) -> Mapping[str, Rate]:
    if not isinstance(value, Mapping):
        raise Refused("Rates by stage are an object of rates, as 95/h, by the stages' ids.")
    found = {
        checked_line(stage, "stage of a rate", most=LONGEST_NAME): read_rate(_typed(text, "rate"))
        for stage, text in value.items()
    }
    if any(not rate.amount for rate in found.values()):
        raise Refused("A stage's rate is more than zero; leave the stage out for the usual rate.")
    return found


def _packs(value: Any) -> Mapping[str, Decimal]:
    if not isinstance(value, Mapping):
        raise Refused("What packs cost is an object of amounts, as 8.40, by what is in them.")
    if strange := [name for name in value if name not in PACKS]:
        raise Refused(f"Packs are of {', '.join(PACKS)}, not of {brief(strange[0])}.")
    return {name: read_money(_typed(text, "price of a pack")) for name, text in value.items()}


def _times(value: Any) -> Mapping[str, Decimal]:
    if not isinstance(value, Mapping):
        raise Refused("Times are an object of percentages, as 125, by section or for sloped.")
    found = {}
    for name, text in value.items():
        part = read_percent(_typed(text, "percentage of the time"), "time")
        if not part:
            raise Refused("A beam takes more than 0 % of a plain one's time; nothing was changed.")
        found[name if name == SLOPED else _size(name)] = part
    return found


def _size(name: str) -> str:
    """A section's width and height as they are shown; raises `Refused` or `Refusal`."""
    width, sign, height = name.lower().removesuffix(" in").partition(" x ")
    if not sign:
        raise Refused(f"{brief(name)} is no section; write {SLOPED}, or one as 8 x 10.")
    return f"{show_length(read_length(width))} x {show_length(read_length(height))}"


def _percent(sort: str) -> Callable[[Any], Decimal]:
    return lambda text: read_percent(_typed(text, f"percentage of {sort}") or "0", sort)


def _taxed(text: Any) -> tuple[str, ...]:
    words = _typed(text, "list of what is taxed").replace(",", " ").split()
    if strange := [word for word in words if word not in TAXABLE]:
        raise Refused(f"Tax can be on {', '.join(TAXABLE)}, not on {brief(strange[0])}.")
    return tuple(sort for sort in TAXABLE if sort in words)


def _whole(what: str, least: int, most: int) -> Callable[[Any], int]:
    def read(text: Any) -> int:
        plain = _typed(str(text) if type(text) is int else text, what)
        short = plain.isascii() and plain.isdecimal() and len(plain) <= 9
        if not short or not least <= int(plain) <= most:
            raise Refused(
                f"The {what} is a whole number from {least} to {most}, not {brief(plain)}."
            )
        return int(plain)

    return read


def _round_to(text: Any) -> Decimal:
    step = read_money(_typed(text, "step of a price") or "0.01")
    if not step:
        raise Refused("A price goes to steps of more than zero, as 0.01, 1 or 10.")
    return step


def _yes(text: Any) -> bool:
    if isinstance(text, bool):
        return text
    plain = text if isinstance(text, str) else ""
    if plain.strip().lower() not in ("yes", "no"):
        raise Refused(f"Write yes or no, not {brief(text)}; nothing was changed.")
    return plain.strip().lower() == "yes"


_READERS: dict[str, Callable[[Any], Any]] = {
    "who": _text("name of who reads"),
    "level": _level,
    "step": _one_of(tuple(STEPS), "Lengths are shown to"),
    "theme": _text("name of a theme"),
    "name": _text("name of the shop"),
    "address": lambda text: checked_note(text, "address", most=400),
    "licence": _text("licence number"),
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
    "other_work": lambda text: read_other_work(_typed(text, "list of other work")),
}
assert list(_READERS) == [one.name for one in fields(Shop)]

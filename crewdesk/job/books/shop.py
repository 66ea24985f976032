"""What is true of the shop over all jobs: who works, at which rates, on which terms."""

from collections.abc import Mapping
from dataclasses import dataclass, field, fields
from decimal import Decimal
from fractions import Fraction
from typing import TYPE_CHECKING, Any, Literal, cast

from crewdesk.errors import BadInput, NotAllowed
from crewdesk.job.books.shop_typed import READERS, SLOPED, scribers_typed
from crewdesk.job.change import Doc
from crewdesk.job.shop_machine import BY_BOARD, MiterTilt, ShopMachine
from crewdesk.job.stages import USUAL_OTHER_WORK
from crewdesk.trade.angle import read_angle
from crewdesk.trade.books.money import Rate, TaxPer
from crewdesk.trade.books.rounding import Rule
from crewdesk.trade.cuts.saw_passes import Hand
from crewdesk.trade.cuts.scribe_cut import Way
from crewdesk.trade.read_length import read_off

if TYPE_CHECKING:
    from crewdesk.trade.books.stage_rates import Factors

MAPPED = ("stage_rates", "packs", "times", "instruments")
"""The values that are several, each by what it is for."""
ZERO = Decimal(0)


@dataclass(frozen=True)
class Shop:
    """`who` takes the readings; `level` is the length of the level at hand, as typed;
    `step` is what lengths are shown to in a new job; `theme` and
    `layout` are the screen's.

    `name`, `address`, `licence`, `phone` and `email` head every letter. `hour` is what an
    hour costs, `stage_rates` what a stage costs where that is another. `tax` in percent is
    on the `taxed` sorts of line, rounded per line or invoice. An invoice is due `terms` days
    after its date. Worked time is billed by the rule `rounding`; a price goes to a multiple
    of `round_to`, upwards if `round_up`. `packs` is what a pack of each of `PACKS` costs.
    `waste`, `markup`, `overhead`, `profit` and `deposit` are in percent. The first document's
    number is `first_number`; `paper` is what is printed on. A new job has the kinds of
    `other_work` outside its stages. `times` is how much of a plain beam's time one takes, in
    percent, by `SLOPED` for its ceiling or by its section as ``8 x 10``. `zone` is the business's
    time zone by its IANA name, "" for the computer's; see `crewdesk.job.today`. From `saw_tilt`
    on are the saws and the scribing tools, lengths and angles as typed (see `ShopMachine`).
    `instruments` is how far an instrument can be off by itself where that is not usual, by its
    name and as typed.
    """

    who: str = ""
    level: str = "24"
    step: str = "1/32"
    theme: str = ""
    layout: str = "usual"
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
    zone: str = ""
    saw_tilt: Hand = "left"
    miter_tilt: MiterTilt = "left"
    face_down: Literal["narrow", "back", "show"] = "narrow"
    scribe_cut: str = BY_BOARD
    scribe_proud: str = "1/32"
    scribe_back_cut: str = "3"
    scribers: str = ""
    instruments: Mapping[str, str] = field(default_factory=dict)

    @property
    def machine(self) -> "ShopMachine":
        """The saws and the scribing tools, as a batch's settings need them."""
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
        """How many times a plain beam's time others take."""
        from crewdesk.trade.books.stage_rates import Factors

        parts = {key: Fraction(percent) / 100 for key, percent in self.times.items()}
        sloped = {SLOPED: parts.pop(SLOPED)} if SLOPED in parts else {}
        sections = {f"{size} in": part for size, part in parts.items()}
        return Factors({**Factors().ceilings, **sloped}, sections)

    @staticmethod
    def from_doc(_row: str, doc: Doc) -> "Shop":
        """The shop as it stands in its record; raises `NotAllowed`."""
        try:
            return Shop(**{key: read(doc[key]) for key, read in READERS.items() if key in doc})
        except BadInput as refusal:
            raise NotAllowed(str(refusal)) from None


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


assert list(READERS) == [one.name for one in fields(Shop)]

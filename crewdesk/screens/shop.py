"""The shop: what is true over all jobs, each changed by itself."""

from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING, ClassVar

from textual import on
from textual.binding import Binding, BindingType

from crewdesk.job.books.priced import beams_of
from crewdesk.job.books.shop import (
    MAPPED,
    SLOPED,
    TAXABLE,
    Shop,
    change_shop,
    changed_values,
    shown,
)
from crewdesk.job.usual_stages import USUAL_STAGES
from crewdesk.paper.plain import plain
from crewdesk.screens.ask import Answer, Choose, Line
from crewdesk.screens.ask_change import ask_shop_change, lines_of, text_of
from crewdesk.screens.lines import Lines, Row
from crewdesk.screens.lines_page import LinesPage
from crewdesk.screens.named_keys import name_of
from crewdesk.screens.page import Page
from crewdesk.trade.length import STEPS

if TYPE_CHECKING:
    from crewdesk.screens.app import CrewdeskApp


@dataclass(frozen=True)
class Thing:
    """A thing of the shop: what it is called, a hint for typing it, what it is good for.

    `ways` are those to choose from, where it is not typed.
    """

    key: str
    asks: str
    hint: str
    about: str
    ways: tuple[tuple[str, str], ...] = ()


_STEPS = {
    "1/16": "1/16 in",
    "1/32": "1/32 in",
    "1/64": "1/64 in",
    "mm": "whole millimetres",
}
_YES_NO = (("yes", "Yes"), ("no", "No"))
_LETTER = "Heads every estimate and invoice."
_PERCENT = "A percentage, as 10 or 7.5."
GROUPS: tuple[tuple[str, tuple[Thing, ...]], ...] = (
    (
        "At work",
        (
            Thing("who", "Who takes the readings", "a name", "Stands beside every reading."),
            Thing(
                "level",
                "Length of the level",
                "24, 48, 6', 600 mm",
                "What an end's reading is taken over.",
            ),
            Thing(
                "step",
                "Lengths shown to",
                "",
                "In new jobs; each job can have its own.",
                tuple((step, _STEPS[step]) for step in STEPS),
            ),
            Thing(
                "other_work",
                "Work besides the stages",
                "parted by commas",
                "Time is logged on it, too; in new jobs. A job's own are with its stages (t, o).",
            ),
            Thing("theme", "Colours", "", "F6 goes through them from anywhere."),
            Thing(
                "paper",
                "Paper",
                "",
                "What sheets, labels, estimates and invoices are printed on.",
                (("letter", "Letter, 8-1/2 x 11 in"), ("A4", "A4, 210 x 297 mm")),
            ),
        ),
    ),
    (
        "On letters",
        (
            Thing("name", "Name of the shop", "as on the truck", _LETTER),
            Thing("address", "Address", "street / town", f"{_LETTER} A / begins a new line."),
            Thing("licence", "Licence number", "as your state gave it", _LETTER),
            Thing("phone", "Phone", "", _LETTER),
            Thing("email", "E-mail", "", _LETTER),
            Thing("terms_text", "Text of the terms", "", "Stands at the foot of every letter."),
        ),
    ),
    (
        "Rates and prices",
        (
            Thing("hour", "An hour costs", "85 or 85/h", "A job can have a rate of its own."),
            Thing(
                "stage_rates",
                "Rates by stage",
                "95/h, 4.50/ft, 40 each",
                "Stages that cost otherwise: by another hour, the foot or the beam.",
            ),
            Thing(
                "times",
                "Time by kind of beam",
                "empty: the usual",
                "In percent of a plain beam's, by ceiling and section.",
            ),
            Thing("packs", "A pack costs", "8.40", "What the takeoff counts besides boards."),
            Thing(
                "rounding",
                "Hours are billed",
                "none, 15 nearest day, 6 up entry",
                "none, or 5, 6 or 15 minutes; nearest, up or down; per entry, day or stage.",
            ),
            Thing("waste", "Waste on material", _PERCENT, "Bought besides, in percent."),
            Thing("markup", "Markup on material", _PERCENT, "Put on what it costs, in percent."),
            Thing("overhead", "Overhead", _PERCENT, "Put on labour and material, in percent."),
            Thing("profit", "Profit", _PERCENT, "Put on all of it with its overhead, in percent."),
            Thing("round_to", "Prices go to", "0.01, 1, 10", "To a multiple of that much money."),
            Thing("round_up", "Always up", "", "No: to the nearest.", _YES_NO),
        ),
    ),
    (
        "Tax and payment",
        (
            Thing("tax", "Tax", "7.5", "In percent, from 0 to 50."),
            Thing("taxed", "Tax is on", ", ".join(TAXABLE), f"Any of {', '.join(TAXABLE)}."),
            Thing(
                "tax_per",
                "Tax is rounded",
                "",
                "Half up to the cent, once for the invoice or line by line.",
                (("invoice", "Once for the invoice"), ("line", "Line by line")),
            ),
            Thing("terms", "Days to pay", "30", "A customer can have terms of their own."),
            Thing("deposit", "Deposit", "30", "In percent of the price; 0 for none."),
            Thing("first_number", "First invoice number", "1", "Fixed once one is issued."),
        ),
    ),
)
_PACKS = {
    "tape": "Roll of tape",
    "nails": "Box of nails",
    "adhesive": "Tube of adhesive",
    "glue": "Bottle of glue",
    "sandpaper": "Sheet of sandpaper",
    "wedges": "Strip for wedges",
}
_NONE_OF = {
    "stage_rates": "all at the hourly rate",
    "packs": "no price known",
    "times": "sloped ceilings 125 %, a guess",
}
_THINGS = {thing.key: thing for _, things in GROUPS for thing in things}
_PERCENTS = ("waste", "markup", "overhead", "profit", "tax", "deposit")


def open_shop(app: "CrewdeskApp") -> None:
    """Show the shop over the page in front, unless a question or the shop itself is there."""
    if isinstance(app.screen, Page) and not app.screen.OF_SHOP:
        app.push_screen(ShopPage())


class ShopPage(LinesPage):
    """A line for each thing; enter changes it."""

    WHERE = "Shop"
    OF_SHOP = True
    KEYS_OF = "Shop"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "change", "Change"),
        Binding("c", "customers", "Customers"),
        Binding("p", "past", "Past jobs"),
        Binding("b", "stock", "Boards"),
        Binding("f", "forms", "Forms"),
        Binding("escape", "leave", "Back"),
    ]
    DEFAULT_CSS = """
    ShopPage Lines { padding: 0 0 0 1; }
    """

    def rows(self) -> list[Row]:
        shop = self.desk_app.desk.shop.shop()
        lines: list[Row] = []
        for name, things in GROUPS:
            lines += [Row(())] if lines else []
            lines.append(Row(((name, "head"),)))
            lines += [
                Row(((f"  {one.asks:<26}", "text"), self._told(shop, one)), one.key)
                for one in things
            ]
        return lines

    def _told(self, shop: Shop, thing: Thing) -> tuple[str, str]:
        """A thing's value as the line shows it, with its ink."""
        if thing.key == "theme":
            return self.app.theme, "strong"
        if thing.key in MAPPED:
            names, none = self._names(thing), _NONE_OF[thing.key]
            told = ", ".join(f"{names.get(k, k)} {v}" for k, v in shown(shop, thing.key).items())
            return (told, "strong") if told else (none, "muted")
        value = str(shown(shop, thing.key))
        if not value:
            return "not set yet", "muted"
        if thing.ways:
            value = dict(thing.ways).get(value, value)
        elif thing.key in _PERCENTS:
            value = f"{value} %"
        elif thing.key == "level" and value.replace(".", "").isdecimal():
            value = f"{value} in"
        return lines_of(value), "strong"

    def _names(self, thing: Thing) -> dict[str, str]:
        """The names of what a thing's values are for; stages are the open job's, if one is."""
        if thing.key == "packs":
            return dict(_PACKS)
        if thing.key == "times":
            beams = self.desk_app.record.beams if self.desk_app.job else ()
            sizes = dict.fromkeys(beams_of(b, Fraction(1)).section for b in beams)
            sections = {size.removesuffix(" in"): size for size in sizes}
            return {SLOPED: "Sloped ceiling", **sections}
        stages = self.desk_app.record.stages if self.desk_app.job else USUAL_STAGES
        return {one.id: one.name for one in stages.work}

    def about(self, key: str) -> str:
        thing = _THINGS.get(key)
        folder = self.desk_app.desk.folder
        app = self.desk_app
        below = (
            "  ".join((*app.loaded.complaints, *app.own_keys.complaints))
            or f"Jobs and shop lie in {folder}"
        )
        about = thing.about if thing else ""
        return f"{about}\n{plain(below)}"

    @on(Lines.Chosen)
    def action_change(self) -> None:
        """Ask for another value of the line under the cursor."""
        thing = _THINGS[self.key]
        if thing.key == "theme":
            ways = tuple((one.name, one.name) for one in self.desk_app.loaded.themes)
            self._choose(thing, ways)
        elif thing.ways:
            self._choose(thing, thing.ways)
        elif thing.key in MAPPED:
            self._ask_each(thing)
        else:
            value = lines_of(str(shown(self.desk_app.desk.shop.shop(), thing.key)))
            self._ask(thing, (Line(thing.key, thing.asks, value, thing.hint),))

    def _choose(self, thing: Thing, ways: tuple[tuple[str, str], ...]) -> None:
        def chosen(value: str | None) -> None:
            if value is None:
                return
            app = self.desk_app
            if thing.key == "theme":
                app.theme = value
            if changed_values(app.desk.shop.record(), {thing.key: value}):
                app.do_shop(lambda books, now: change_shop(books, {thing.key: value}, now))

        self.app.push_screen(Choose(thing.asks, ways, about=thing.about), callback=chosen)

    def _ask_each(self, thing: Thing) -> None:
        values = shown(self.desk_app.desk.shop.shop(), thing.key)
        names = self._names(thing)
        names |= {key: key for key in values if key not in names}
        self._ask(
            thing,
            tuple(
                Line(name_of(key), name, values.get(key, ""), thing.hint)
                for key, name in names.items()
            ),
            tuple(names),
        )

    def _ask(self, thing: Thing, lines: tuple[Line, ...], keys: tuple[str, ...] = ()) -> None:
        def values(answer: Answer) -> dict[str, object]:
            if thing.key in MAPPED:
                typed = {key: answer[name_of(key)] for key in keys}
                return {thing.key: {key: text for key, text in typed.items() if text.strip()}}
            return {thing.key: text_of(answer[thing.key])}

        ask_shop_change(
            self.desk_app,
            thing.asks,
            lines,
            lambda books, answer, now: change_shop(books, values(answer), now),
            about=thing.about,
        )

    def action_customers(self) -> None:
        """Open the customers."""
        from crewdesk.screens.customers import CustomersPage

        self.app.push_screen(CustomersPage())

    def action_past(self) -> None:
        """Open the finished jobs, and what the rates rest on."""
        from crewdesk.screens.past_jobs import PastJobsPage

        self.app.push_screen(PastJobsPage())

    def action_stock(self) -> None:
        """Open the boards that can be had and those on hand."""
        from crewdesk.screens.stock import StockPage

        self.app.push_screen(StockPage())

    def action_forms(self) -> None:
        """Open the forms of beam that are kept by name."""
        from crewdesk.screens.kept_forms import FormsPage

        self.app.push_screen(FormsPage())

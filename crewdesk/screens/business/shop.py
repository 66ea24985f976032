"""Business settings, each changed by itself."""

import re
import tomllib
from collections.abc import Mapping
from fractions import Fraction
from pathlib import Path
from types import MappingProxyType
from typing import NamedTuple

from textual import on

from crewdesk.job.books.pricing import beams_of
from crewdesk.job.books.shop import MAPPED, SLOPED, Shop, shown
from crewdesk.job.books.shop_record import change_shop, changed_values
from crewdesk.job.steps.usual_stages import USUAL_STAGES
from crewdesk.job.text_limits import lines_of, text_of
from crewdesk.job.time.today import zone_of
from crewdesk.paper.plain import plain
from crewdesk.screens.parts.ask import Answer, Field, ask_shop_change, choose
from crewdesk.screens.parts.lines import Lines, Row
from crewdesk.screens.parts.list_page import LinesPage, fit
from crewdesk.screens.parts.stick import ruled


class Thing(NamedTuple):
    """A setting, as a row of `shop.toml` defines it, with its values."""

    key: str
    asks: str
    about: str
    hint: str = ""
    none: str = "not set yet"
    unit: str = ""
    names: Mapping[str, str] = MappingProxyType({})
    ways: Mapping[str, str] = MappingProxyType({})


GROUPS = {
    group["head"]: [Thing(**row) for row in group["things"]]
    for group in tomllib.loads(Path(__file__).with_suffix(".toml").read_text("utf-8"))["group"]
}
THINGS = {thing.key: thing for things in GROUPS.values() for thing in things}


_NEEDED = ("hour", "name")
"""The settings that an estimate and an invoice require."""
_ASKS = 25
"""The columns of what a thing is called."""


class ShopPage(LinesPage):
    """A line for each setting; Enter changes it."""

    WHERE = "Business settings"
    OF_SHOP = True
    AREA = "shop"
    DEFAULT_CSS = """
    ShopPage Lines { padding: 0 0 0 1; }
    """

    def rows(self) -> list[Row]:
        shop, width = self.program.shop, self.size.width - 3
        needed = [THINGS[key] for key in _NEEDED if not shown(shop, key)]
        lines: list[Row] = []
        for name, things in ({"Set first": needed} | GROUPS).items():
            first = things is needed
            here = [one for one in things if first or one not in needed]
            if not here:
                continue
            lines += [Row()] if lines else []
            lines.append(Row(*ruled(name, width)))
            sign, ink = ("□ ", "set") if first else ("  ", "muted")
            for one in here:
                text, its = self._told(shop, one)
                value = fit(text, max(width - _ASKS - 4, 8)).rstrip()
                asks = f"{sign}{one.asks:<{_ASKS}}"
                lines.append(Row((f" {asks}", ink), (value, "set" if first else its), key=one.key))
        return lines

    def _told(self, shop: Shop, thing: Thing) -> tuple[str, str]:
        """Return a setting's value as shown, with its ink."""
        if thing.key == "theme":
            return self.app.theme, "strong"
        if thing.key in MAPPED:
            names = self._names(thing)
            text = ", ".join(f"{names.get(k, k)} {v}" for k, v in shown(shop, thing.key).items())
            return (text, "strong") if text else (thing.none, "muted")
        value = str(shown(shop, thing.key))
        if not value:
            return thing.none, "muted"
        if thing.key == "zone" and zone_of(value) is None:
            return f"{value} isn't known here, so this computer's is used", "wrong"
        unit = thing.unit if value[-1].isdecimal() else ""
        return lines_of(thing.ways.get(value, f"{value}{unit}")), "strong"

    def _names(self, thing: Thing) -> dict[str, str]:
        """Return the names of a setting's values; stages are the open job's, if any."""
        if thing.names:
            return dict(thing.names)
        if thing.key == "times":
            beams = self.program.record.beams if self.program.job else ()
            sizes = dict.fromkeys(beams_of(b, Fraction(1)).section for b in beams)
            sections = {size.removesuffix(" in"): size for size in sizes}
            return {SLOPED: "Sloped ceiling", **sections}
        stages = self.program.record.stages if self.program.job else USUAL_STAGES
        return {one.id: one.name for one in stages.work}

    def about(self, key: str) -> str:
        thing = THINGS.get(key)
        folder = self.program.desk.folder
        app = self.program
        below = (
            "  ".join((*app.loaded.complaints, *app.own_keys.complaints))
            or f"Jobs and Business settings are in {folder}"
        )
        about = self.with_keys(thing.about) if thing else ""
        return f"{about}\n{plain(below)}"

    @on(Lines.Chosen)
    def action_change(self) -> None:
        thing = THINGS[self.key]
        if thing.key == "theme":
            self._choose(thing, {one.name: one.name for one in self.program.loaded.themes})
        elif thing.ways:
            self._choose(thing, thing.ways)
        elif thing.key in MAPPED:
            self._ask_each(thing)
        else:
            value = lines_of(str(shown(self.program.shop, thing.key)))
            self._ask(thing, (Field(thing.key, thing.asks, value, thing.hint),))

    def _choose(self, thing: Thing, ways: Mapping[str, str]) -> None:
        def chosen(value: str) -> None:
            app = self.program
            app.choose_look(thing.key, value)
            if changed_values(app.books, {thing.key: value}):
                app.do_shop(lambda books, now: change_shop(books, {thing.key: value}, now))

        choose(
            self.program,
            thing.asks,
            tuple(ways.items()),
            chosen,
            about=self.with_keys(thing.about),
        )

    def _ask_each(self, thing: Thing) -> None:
        values = shown(self.program.shop, thing.key)
        names = self._names(thing)
        names |= {key: key for key in values if key not in names}
        self._ask(
            thing,
            tuple(
                Field(_line_key(key), name, values.get(key, ""), thing.hint)
                for key, name in names.items()
            ),
            tuple(names),
        )

    def _ask(self, thing: Thing, lines: tuple[Field, ...], keys: tuple[str, ...] = ()) -> None:
        def values(answer: Answer) -> dict[str, object]:
            if thing.key in MAPPED:
                typed = {key: answer[_line_key(key)] for key in keys}
                return {thing.key: {key: text for key, text in typed.items() if text.strip()}}
            return {thing.key: text_of(answer[thing.key])}

        ask_shop_change(
            self.program,
            thing.asks,
            lines,
            lambda books, answer, now: change_shop(books, values(answer), now),
            about=self.with_keys(thing.about),
        )


def _line_key(name: str) -> str:
    """Return a name as a line's key: ``End mill`` is ``end-mill``."""
    return re.sub(r"[^a-z0-9]+", "-", name.casefold()).strip("-")

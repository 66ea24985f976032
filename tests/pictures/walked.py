"""Walks over pages: what does not fit the screen, and which colours stand on which."""

from collections.abc import AsyncIterator, Iterator
from typing import Any

from rich.segment import Segment
from textual.pilot import Pilot
from textual.screen import Screen
from textual.widget import Widget
from textual.widgets import Input

from crewdesk.screens.parts.keys_line import KeysLine
from crewdesk.screens.parts.page import Page, Told
from tests.hostile.walk import back
from tests.pictures.pages import STATES, go

SIZES = ((60, 20), (200, 60))
FIRST = {"empty": ("escape",), "sample": ()}
"""The keys that lead to where a walk begins."""


async def walk_pages(
    pilot: Pilot[None], state: str, pages: tuple[str, ...] = ()
) -> AsyncIterator[tuple[str, Screen[Any]]]:
    """Each page of a state, or some of them, in the narrowest and the widest terminal: the
    terminal changes while the page is open."""
    app, sizes = pilot.app, list(SIZES)
    await go(pilot, FIRST[state])
    home = len(app.screen_stack)
    for page, keys in STATES[state].items():
        beyond = keys[len(FIRST[state]) :]
        if (pages and page not in pages) or beyond[:1] == ("escape",) or keys == ("enter",) * 3:
            continue
        await go(pilot, beyond)
        for place, size in enumerate(sizes):
            if place:
                await pilot.resize_terminal(*size)
                await pilot.pause()
            yield f"{state} {page} {size[0]}x{size[1]}", app.screen
        sizes.reverse()
        await back(app, pilot, home)


def faults(screen: Screen[Any]) -> Iterator[str]:
    """What is not where it can be seen."""
    whole = screen.region
    for one in screen.walk_children(Widget):
        ups = [up for up in one.ancestors if isinstance(up, Widget)]
        if not one.is_on_screen or not one.region.area or any(map(_scrolls, ups)):
            continue
        if not ups[0].region.contains_region(one.region):
            yield f"{one!r} at {one.region} reaches out of {ups[0]!r} at {ups[0].region}"
    focused = screen.focused
    if focused is not None and focused.display and not _in_sight(focused):
        yield f"{focused!r} has the keys and is not in sight"
    if isinstance(screen, Page):
        keys, told = screen.query_one(KeysLine).region, screen.query_one(Told).region
        if keys.bottom != whole.bottom or keys.width != whole.width or told.bottom > keys.y:
            yield f"the keys stand at {keys}, what is told at {told}"
    for box in screen.query(".question"):
        if not whole.contains_region(box.region):
            yield f"the question stands at {box.region}"
        if box.max_scroll_y:
            yield f"the question hides {box.max_scroll_y} of its rows"
    for line in screen.query(Input):
        if screen.size.width >= 80 and not line.value and len(line.placeholder) > line.size.width:
            yield f"of the hint {line.placeholder!r} only {line.size.width} columns are in sight"


def _scrolls(one: Widget) -> bool:
    return bool(one.max_scroll_x or one.max_scroll_y)


def _in_sight(one: Widget) -> bool:
    """Whether a line to type in is in sight, or the better part of a list's first rows."""
    place = one.screen.find_widget(one)
    seen = place.region.intersection(place.clip)
    return seen.height >= min(place.region.height, 3) and seen.width >= min(one.region.width, 8)


def cells(screen: Screen[Any]) -> Iterator[Segment]:
    """What is drawn in front: of a page all of it, of a question its box alone."""
    region = screen.region
    for box in screen.query(".question"):
        region = box.region
    for strip in screen._compositor.render_strips(screen.size)[region.y : region.bottom]:
        yield from strip.crop(region.x, region.right)


def text_pairs(screen: Screen[Any]) -> set[tuple[str, str]]:
    """The colours of all letters, figures and signs, each with the colour that it stands on;
    blocks that drawings and scroll bars are made of are no letters."""
    pairs = set()
    for text, style, _ in cells(screen):
        letters = [one for one in text if not one.isspace() and not "▀" <= one <= "▟"]
        if letters and style is not None and style.color and style.bgcolor:
            ink, ground = style.color.get_truecolor(), style.bgcolor.get_truecolor()
            pairs.add((ground.hex, ink.hex) if style.reverse else (ink.hex, ground.hex))
    return pairs

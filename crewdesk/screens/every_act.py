"""Everything that can be done, in words, from whichever page one is on."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING

from crewdesk.screens.actions import ACTIONS, AREAS, EVERYWHERE, key_words
from crewdesk.screens.acts_on_things import Thing, things
from crewdesk.screens.going import JOBS, RUN_SHEET, come_to, drawn, in_turn
from crewdesk.screens.page import Page

if TYPE_CHECKING:
    from crewdesk.screens.app import CrewdeskApp

_BARE = {"back", "leave", "jobs"}
"""Actions that only lead away."""


@dataclass(frozen=True)
class Act:
    """Something that can be done: its words with those of its page, its keys, what it is
    good for, whether it is of the page in front, what does it, whether it is about one
    thing out of several: a batch, an invoice, an entry; and other words for it."""

    words: str
    keys: str
    about: str
    here: bool
    do: Callable[[], None]
    of_one: bool = False
    also: str = ""


def acts(app: "CrewdeskApp") -> list[Act]:
    """Everything that can be done from the page in front, its own first."""
    front = next((one for one in reversed(app.screen_stack) if isinstance(one, Page)), None)
    found: list[Act] = []
    for page in AREAS.values():
        here = front is not None and page.name == front.AREA
        if not here and page.name != EVERYWHERE and not _reached(app, page.name):
            continue
        for one in page.actions:
            if one.name in _BARE:
                continue
            words = one.words if here or page.name == EVERYWHERE else f"{page.words}: {one.words}"
            keys = app.key(one.id)
            do = partial(_do, app, "" if here else page.name, one.does)
            found.append(Act(words, key_words(keys), one.about, here, do, also=one.find))
    return [*sorted(found, key=lambda act: not act.here), *_on_things(app)]


def _on_things(app: "CrewdeskApp") -> Iterator[Act]:
    """What can be done with each thing out of several: that it is opened, and what its page
    can do."""
    for thing in things(app):
        yield Act(thing.words, "", thing.about, False, partial(_do_with, app, thing, ""), True)
        for one in AREAS[thing.page].actions:
            if one.name in _BARE or (thing.only is not None and one.name not in thing.only):
                continue
            keys = key_words(app.key(one.id))
            do = partial(_do_with, app, thing, one.does)
            yield Act(f"{thing.words}: {one.words}", keys, one.about, False, do, True)


def _do_with(app: "CrewdeskApp", thing: Thing, action: str) -> None:
    """Open a thing over its page, and do something there."""

    async def do() -> None:
        if await come_to(app, thing.over):
            app.push_screen(thing.made())
            await drawn(app)
            if action:
                await app.screen.run_action(action)

    in_turn(app, do)


def _reached(app: "CrewdeskApp", page: str) -> bool:
    """Whether a page can be come to now: what is of a job, only while one is open."""
    while way := AREAS[page].way:
        page = ACTIONS[way].area
    return page in (EVERYWHERE, JOBS) or (page == RUN_SHEET and app.job is not None)


def _do(app: "CrewdeskApp", page: str, action: str) -> None:
    """Come to a page, where it is not in front, and do something there."""

    async def do() -> None:
        if not page or await come_to(app, page):
            await app.screen.run_action(action)

    if page == EVERYWHERE:
        app.run_worker(app.run_action(action), group="way")
    else:
        in_turn(app, do)

"""Navigation from any page to another: close those between, open those on the way."""

import asyncio
from collections.abc import Callable, Coroutine
from typing import Any

from crewdesk.job.beams.piece import KIND_OF, PARTNER, Spot
from crewdesk.job.record import Record
from crewdesk.screens.parts.actions import ACTIONS, AREAS, EVERYWHERE
from crewdesk.screens.parts.page import Page
from crewdesk.screens.parts.program import Program

JOBS, RUN_SHEET = "jobs", "run-sheet"
PATIENCE = 5.0


def in_turn(app: Program, way: Callable[[], Coroutine[Any, Any, None]]) -> None:
    """Navigate in the background, one request at a time; from a question only after it is answered
    or canceled, so that typed text isn't lost."""
    if isinstance(app.screen, Page):
        app.run_worker(way(), exclusive=True, group="way")
    else:
        app.tell("Answer or leave the question first.", "wrong")


def go_to(app: Program, job: str, spot: Spot | None) -> None:
    """Open a job, where it is not open already ("": the open one), and in it a piece; of a
    beam without one its line on the run sheet."""

    async def go() -> None:
        if job and (app.job is None or app.job.id != job):
            if not await come_to(app, JOBS):
                return
            app.open_job(job)
            await drawn(app)
        elif not await come_to(app, RUN_SHEET):
            return
        if spot is None or _in_front(app) != RUN_SHEET:
            return
        key = spot.piece or next(iter(app.record.beam(spot.beam).pieces))
        cursor_to(app, Spot(spot.beam, key))
        if spot.piece:
            await app.screen.run_action("piece")

    in_turn(app, go)


def go_to_page(app: Program, job: str, page: str) -> None:
    """Open a job, where it is not open already, and in it a page by its name."""

    async def go() -> None:
        if app.job is None or app.job.id != job:
            if not await come_to(app, JOBS):
                return
            app.open_job(job)
            await drawn(app)
        await come_to(app, page)

    in_turn(app, go)


async def come_to(app: Program, page: str) -> bool:
    """Go to a page by its name; return False if a page on the way must stay."""
    if _in_front(app) == page:
        return True
    if way := AREAS[page].way:
        action = ACTIONS[way]
        if action.area != EVERYWHERE and not await come_to(app, action.area):
            return False
        await (app if action.area == EVERYWHERE else app.screen).run_action(action.does)
        await drawn(app)
        return _in_front(app) == page
    while _in_front(app) != page:
        left = app.screen
        if not hasattr(left, "action_leave"):
            return False
        left.action_leave()
        await drawn(app)
        if app.screen is left:
            return False
    return True


def back_at(app: Program, spot: Spot) -> None:
    """Close the page in front; then put the run sheet's cursor on a piece."""
    app.pop_screen()
    cursor_to(app, spot)


def cursor_to(app: Program, spot: Spot) -> None:
    """Put the run sheet's cursor on a piece, where the run sheet is in front."""
    if isinstance(page := app.screen, Page):
        page.go_to(spot)


def _in_front(app: Program) -> str:
    """Return the name of the page or of the sheet in front."""
    return getattr(app.screen, "AREA", "")


async def drawn(app: Program) -> None:
    """Wait until the screen that came has been drawn and has its focus."""
    done = asyncio.Event()
    app.screen.call_after_refresh(done.set)
    await asyncio.wait_for(done.wait(), PATIENCE)


def other_of_kind(record: Record, spot: Spot, by: int) -> Spot:
    """Return the piece `by` places on of the same kind, over all beams, wrapping around."""
    spots = [
        Spot(beam.row, key)
        for beam in record.beams
        for key in beam.pieces
        if KIND_OF[key] == KIND_OF[spot.piece]
    ]
    return spots[(spots.index(spot) + by) % len(spots)]


def next_of_beam(record: Record, spot: Spot, by: int = 1) -> Spot:
    """Return the piece `by` places on in the same beam, wrapping around."""
    keys = list(record.beam(spot.beam).pieces)
    return Spot(spot.beam, keys[(keys.index(spot.piece) + by) % len(keys)])


def partner(spot: Spot) -> Spot:
    """Return the other side of the pair; from a bottom or cleats, side A."""
    return Spot(spot.beam, PARTNER.get(spot.piece, "A"))

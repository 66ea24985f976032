"""A walk over every page: what each key of each page brings, and back again."""

from collections.abc import AsyncIterator

from textual.app import App
from textual.pilot import Pilot
from textual.widgets import Input

NOT_WALKED = ("ctrl+q", "ctrl+c", "ctrl+z", "ctrl+y")
TOP = ("JobsPage", "RunSheetPage")


def shown(app: App) -> str:
    """What stands on the screen, line by line."""
    screen = app.screen
    strips = screen._compositor.render_strips(app.size)
    return "\n".join("".join(segment.text for segment in strip) for strip in strips)


async def walk(
    app: App, pilot: Pilot[None], *, deep: int = 1, keys: tuple[str, ...] = ()
) -> AsyncIterator[str]:
    """Press every key of the page in front, or some, and every key of the pages that these
    bring, `deep` of them; gives the name of what is in front after each key."""
    home = len(app.screen_stack)
    for key in keys or keys_of(app):
        await pilot.press(*key.split())
        if app._exit:
            return
        yield type(app.screen).__name__
        if deep > 1 and len(app.screen_stack) > home:
            async for name in walk(app, pilot, deep=deep - 1):
                yield name
        await back(app, pilot, home)


def keys_of(app: App) -> list[str]:
    """The keys that are the page's own and those of the widget in focus, not of an input."""
    active = app.screen.active_bindings
    return [
        key
        for key, one in active.items()
        if one.enabled and key not in NOT_WALKED and not isinstance(one.node, Input)
        and key not in ("up", "down", "left", "right", "home", "end", "pageup", "pagedown",
                        "tab", "shift+tab", "escape", "f6")
    ]  # fmt: skip


async def back(app: App, pilot: Pilot[None], home: int) -> None:
    """Leave what came until so many pages are left."""
    for _ in range(12):
        if len(app.screen_stack) <= home:
            return
        await pilot.press("escape")
    raise AssertionError(f"there is no way back from {type(app.screen).__name__}")

"""Handle keys one at a time: finish what a key does before the next one.

Textual hands each key on to the widget in focus and goes on at once. Where keys come
faster than the screen follows (a quick hand, a slow laptop, a barcode), Enter would
move the focus only after the next letters had gone into the old line. Here a key waits
until the one before it has moved the focus, opened its question or closed it.
"""

import asyncio
from collections.abc import Callable
from functools import partial
from inspect import isawaitable
from typing import Any

from textual import events
from textual.app import App, ScreenStackError
from textual.dom import DOMNode
from textual.message import Message
from textual.message_pump import Callback
from textual.screen import Screen

from crewdesk.screens.parts.terminal import SturdyApp

PATIENCE = 5.0
"""The longest wait for a key, in seconds, if something never answers."""


class KeyByKeyApp(SturdyApp):
    """An app that handles one key at a time."""

    def __init__(self) -> None:
        self._later: list[Callable[[], Any]] | None = None
        super().__init__()

    def call_later(self, callback: Callback, *args: Any, **kwargs: Any) -> bool:
        """Run a key's deferred calls, such as moving the focus, together with the key."""
        if self._later is None:
            return super().call_later(callback, *args, **kwargs)
        self._later.append(partial(callback, *args, **kwargs))
        return True

    def post_message(self, message: Message) -> bool:
        """Handle a key that no widget used at its turn, by the app's bindings."""
        if self._later is None or not isinstance(message, events.Key) or not message.is_forwarded:
            return super().post_message(message)
        self._later.append(partial(super().on_event, message))
        return True

    async def on_event(self, event: events.Event) -> None:
        """Handle an event; wait until a key's effects are complete."""
        if not isinstance(event, events.Key) or event.is_forwarded:
            await super().on_event(event)
            return
        self._later = []
        before = self.screen
        try:
            await super().on_event(event)
            await asyncio.wait_for(self._key_done(before), PATIENCE)
        except (TimeoutError, ScreenStackError):
            pass  # It never answered, or the key was the one to quit.
        finally:
            left, self._later = self._later, None
            for one in left:
                super().call_later(one)

    async def _key_done(self, shown: Screen[Any]) -> None:
        """Wait until everything that a key started is done, wherever it went; wait for a new screen
        until it is drawn and has its focus."""
        before = None
        while self.return_code is None and (
            self._later or before is not (self.focused or self.screen)
        ):
            before = self.focused or self.screen
            if self.screen is not shown:
                shown = self.screen
                await _drawn(shown)
            await self._all_answered(before)
            while self._later:
                left = self._later.pop(0)()
                if isawaitable(left):
                    await left
                await self._all_answered(self.focused or self.screen)

    async def _all_answered(self, focused: DOMNode) -> None:
        """Wait for the widget and its ancestors up to its screen."""
        await _answered(focused)
        for node in focused.ancestors_with_self:
            if not isinstance(node, App):
                await _answered(node)


async def _drawn(screen: Screen[Any]) -> None:
    """Wait until a screen is mounted and drawn, and its deferred calls are done."""
    done = asyncio.Event()
    screen.call_after_refresh(done.set)
    await done.wait()


async def _answered(pump: DOMNode) -> None:
    """Wait until a widget has handled its messages so far."""
    if not pump.is_running:
        return
    done = asyncio.Event()
    if pump.post_message(events.Callback(done.set)):
        await done.wait()

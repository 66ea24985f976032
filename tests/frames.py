"""Frames of apps that run without a terminal, and what their style sheets are read to.

Textual lays each frame into lines and throws the lines away where there is no terminal. That is
a third of what a walk over the screens costs. Here a frame is made as ever, all that crewdesk
gives for it, so that what can't be shown fails at once; only the lines are left out. Pictures and
whatever asks for a full update get them, and so do real terminals, which run in a process of
their own (`tests/terminal`).
"""

from collections.abc import Callable
from typing import Any

import pytest
from textual._compositor import Compositor, visible_screen_stack
from textual.css.stylesheet import Stylesheet
from textual.geometry import Region
from textual.screen import ModalScreen
from textual.scroll_view import ScrollView


def cheap_frames(patch: pytest.MonkeyPatch) -> None:
    """Make frames without their lines; read each style sheet, and put all together, once."""
    patch.setattr(Compositor, "render_update", _made_alone(Compositor.render_update))
    patch.setattr(Stylesheet, "_parse_rules", _read_once(Stylesheet._parse_rules))
    patch.setattr(Stylesheet, "parse", _put_together_once(Stylesheet.parse))


def _made_alone(whole: Callable[..., Any]) -> Callable[..., Any]:
    def render_update(
        self: Compositor, full: bool = False, screen_stack: Any = None, simplify: bool = False
    ) -> Any:
        if full:
            return whole(self, full, screen_stack, simplify)
        visible_screen_stack.set(screen_stack or [])
        changed = Region.from_union(self._dirty_regions) if self._dirty_regions else Region()
        self._dirty_regions.clear()
        for widget, (region, clip) in self.visible_widgets.items():
            if seen := region.intersection(clip).intersection(changed):
                # A scroll view makes its lines one by one; a question keeps those of the page
                # below it, which a picture is made of.
                if isinstance(widget, ScrollView | ModalScreen):
                    widget.render_lines(seen.translate(-region.offset))
                else:
                    widget._render()
        return None

    return render_update


def _read_once(parse: Callable[..., Any]) -> Callable[..., Any]:
    read: dict[tuple[Any, ...], Any] = {}

    def parse_rules(
        self: Stylesheet,
        css: str,
        read_from: Any,
        is_default_rules: bool = False,
        tie_breaker: int = 0,
        scope: str = "",
    ) -> Any:
        told = (css, read_from, is_default_rules, tie_breaker, scope)
        key = (*told, frozenset(self._variables.items()))
        if key not in read:
            read[key] = parse(self, *told)
        return read[key]

    return parse_rules


def _put_together_once(parse: Callable[[Stylesheet], None]) -> Callable[[Stylesheet], None]:
    read: dict[tuple[Any, ...], tuple[Any, Any]] = {}

    def parse_all(self: Stylesheet) -> None:
        key = (*self.source.items(), frozenset(self._variables.items()))
        if self._invalid_css or key not in read:
            parse(self)
            if self._invalid_css:
                return
            read[key] = self._rules, self.rules_map
        self._rules, self._rules_map = read[key]
        self._require_parse = False

    return parse_all

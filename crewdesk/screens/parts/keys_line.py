"""The footer: the keys of a page; a click on one presses it.

One line of text, redrawn only if it changes: a widget for each key would be laid out again whenever
the focus moves.
"""

from collections.abc import Sequence
from typing import Any, ClassVar, NamedTuple, cast

from rich.cells import cell_len
from textual import on
from textual.binding import Binding
from textual.content import Content
from textual.events import Click, Resize, ScreenResume
from textual.screen import ModalScreen, Screen
from textual.widgets import Static

from crewdesk.screens.parts.actions import (
    ACTIONS,
    AREAS,
    bindings,
    first_usable,
    key_words,
    with_keys,
)
from crewdesk.screens.parts.program import Program, program

_ALWAYS = ("everywhere.help", "everywhere.undo")
SCROLL = "Scroll"
"""The name of the scroll key, shown only while something is hidden."""
_ELSEWHERE = ("everywhere.clock", "everywhere.find")
"""Keys also shown elsewhere: in the top line, and first in help."""


class Key(NamedTuple):
    """A key: its binding's id, its name, its shown name, its words."""

    id: str
    key: str
    shown: str
    words: str

    @property
    def width(self) -> int:
        """The columns that it takes."""
        return cell_len(self.shown) + cell_len(self.words) + 3


class KeysLine(Static):
    """Every binding of the screen in front that is to be shown and can be used now."""

    DEFAULT_CSS = """
    KeysLine { dock: bottom; height: 1; background: $panel; color: $foreground;
               text-wrap: nowrap; }
    """

    def __init__(self) -> None:
        super().__init__(markup=False)
        self._all: list[Key] = []
        self._keys: list[Key] = []
        self._ends: list[int] = []

    def on_mount(self) -> None:
        """Show the keys now and whenever they change."""
        self.screen.bindings_updated_signal.subscribe(self, self.look)
        self.call_after_refresh(self.look, self.screen)

    def look(self, screen: Screen[Any]) -> None:
        """Show the keys of the screen if they changed."""
        if not self.is_attached or screen is not self.screen:
            return
        bound: dict[str, dict[str, Binding]] = {}
        for key, (_, binding, enabled, _) in screen.active_bindings.items():
            hidden = binding.description == SCROLL and not getattr(screen, "hides_more", True)
            if binding.show and enabled and not hidden:
                bound.setdefault(binding.id or binding.action, {})[key] = binding
        order = list(screen.active_bindings)
        named = [self._named(bindings) for bindings in bound.values()]
        every = [key for _, key in sorted(named, key=lambda one: order.index(one[0]))]
        own = program(self).own_keys.keymap
        if any(one.id in own for one in every):
            every = in_order(every, [one.id for one in Binding.make_bindings(screen.BINDINGS)])
        if every != self._all:
            self._all = every
            self._tell()

    def _named(self, bindings: dict[str, Binding]) -> tuple[str, Key]:
        """Return an action's first key, which determines its place in the line, and the key to
        show: the first that works on this system."""
        app = program(self)
        id_ = next(iter(bindings.values())).id or ""
        own = app.own_keys.keymap.get(id_)
        usual = own.split(",") if own else ACTIONS[id_].keys if id_ in ACTIONS else ()
        keys = [one for one in usual if one in bindings] or list(bindings)
        shown = keys[0] if own else first_usable(keys, app.platform)
        one = bindings[shown]
        return keys[0], Key(id_, shown, key_words(one.key), one.description)

    @on(Resize)
    def _tell(self) -> None:
        keys, width = fitting(self._all, self.size.width or self.app.size.width), 0
        line, self._ends, self._keys = Content(""), [], keys
        for one in keys:
            line += Content.assemble((f" {one.shown} ", "$key bold"), f"{one.words} ")
            width += one.width
            self._ends.append(width)
        self.update(line, layout=False)

    @on(Click)
    def clicked(self, event: Click) -> None:
        """Press the key that was clicked."""
        for one, end in zip(self._keys, self._ends, strict=True):
            if event.x < end:
                self.app.simulate_key(one.key)
                return


def in_order(keys: Sequence[Key], usual: Sequence[str | None]) -> list[Key]:
    """Return the keys with the page's own ones in the page's order: Textual puts an action with a
    user's own key last."""
    own = iter(
        sorted((one for one in keys if one.id in usual), key=lambda one: usual.index(one.id))
    )
    return [next(own) if one.id in usual else one for one in keys]


def fitting(keys: Sequence[Key], width: int) -> list[Key]:
    """Return the keys that fit into a width: those shown elsewhere are left out first, then the
    page's own from the last on; never help, undo or scroll."""
    fit = list(keys)
    for spare in (*(one for one in keys if one.id in _ELSEWHERE), *reversed(keys)):
        if sum(one.width for one in fit) - 1 <= width:  # the last one's space needs no room
            break
        if spare in fit and spare.id not in _ALWAYS and spare.words != SCROLL:
            fit.remove(spare)
    return fit


class NamedKeys:
    """A screen, widget or app with the actions of an area; bindings of its own come after."""

    AREA: ClassVar[str] = ""

    def __init_subclass__(cls, **kwargs: Any) -> None:
        if "AREA" in vars(cls):
            own = vars(cls).get("BINDINGS", ())
            cls.BINDINGS = [*bindings(cls.AREA), *own]  # type: ignore[attr-defined]
        super().__init_subclass__(**kwargs)

    def on_mount(self) -> None:
        """Show the keys below a question in the large layout, to be touched."""
        if isinstance(self, ModalScreen) and self.program.large:
            self.mount(KeysLine())

    def _on_screen_resume(self, event: ScreenResume) -> None:
        """Keep the styles computed at mounting; a theme change updates every screen. Textual would
        compute all widgets' styles again whenever a screen comes to the front, a fifth of the time
        to open a page."""
        event.refresh_styles = False

    @property
    def program(self) -> Program:
        """The program, as a page sees it."""
        return cast(Program, self.app)  # type: ignore[attr-defined]

    def needed(self, what: str) -> tuple[Any, ...] | None:
        """Return the arguments of an action that opens a page; None if there are none, after
        showing why."""
        raise NotImplementedError(what)

    def action_open_page(self, page: str, needs: str = "") -> None:
        about = self.needed(needs) if needs else ()
        if about is not None:
            self.program.open(page, *about)

    def show_cautions(self, stage: str) -> None:
        """Show the cautions of a stage of work over it."""
        self.program.open("help", self, stage)

    def with_keys(self, text: str) -> str:
        """Return a text with the keys of actions in braces."""
        return with_keys(text, self.AREA, self.program.key)

    def to_do(self) -> str:
        """Return help's text for this page."""
        return self.with_keys(AREAS[self.AREA].to_do) if self.AREA else ""

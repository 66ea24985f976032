"""The keys of a page in its lowest line; a click on one presses it.

One line of text, drawn anew only where it says something else: a widget to each key
would be laid out anew whenever the focus moves.
"""

from textual import on
from textual.content import Content
from textual.events import Click
from textual.screen import Screen
from textual.widgets import Static


class KeysLine(Static):
    """Every binding of the screen in front that is to be shown and can be used now."""

    DEFAULT_CSS = """
    KeysLine { dock: bottom; height: 1; background: $panel; color: $foreground;
               text-wrap: nowrap; }
    """

    def __init__(self) -> None:
        super().__init__(markup=False)
        self._keys: list[tuple[str, str, str]] = []
        self._ends: list[int] = []

    def on_mount(self) -> None:
        """Tell the keys now and whenever others can be used."""
        self.screen.bindings_updated_signal.subscribe(self, self.look)
        self.call_after_refresh(self.look, self.screen)

    def look(self, screen: Screen[object]) -> None:
        """Tell the keys of the screen, where they are others than before."""
        if not self.is_attached or screen is not self.screen:
            return
        keys: dict[str, tuple[str, str, str]] = {}
        for _, binding, enabled, _ in screen.active_bindings.values():
            if binding.show and enabled:
                shown = self.app.get_key_display(binding)
                keys.setdefault(binding.action, (binding.key, shown, binding.description))
        if (told := list(keys.values())) != self._keys:
            self._keys = told
            self._tell()

    def _tell(self) -> None:
        line, self._ends = Content(""), []
        for _, shown, words in self._keys:
            line += Content.assemble((f" {shown} ", "$accent bold"), f"{words} ")
            self._ends.append(line.cell_length)
        self.update(line)

    @on(Click)
    def clicked(self, event: Click) -> None:
        """Press the key that was clicked."""
        for (key, _, _), end in zip(self._keys, self._ends, strict=True):
            if event.x < end:
                self.app.simulate_key(key)
                return

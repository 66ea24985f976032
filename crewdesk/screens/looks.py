"""How crewdesk looks, its colours and its layout: as the shop keeps them, and as they are
turned from anywhere. What was turned is kept for the next start."""

from contextlib import suppress
from typing import TYPE_CHECKING

from textual.app import App

from crewdesk.errors import CrewdeskError
from crewdesk.screens.actions import key_words
from crewdesk.screens.tall_rows import TallRows

if TYPE_CHECKING:
    from crewdesk.screens.app import CrewdeskApp

USUAL_THEME = "night"
USUAL, LARGE = "usual", "large"


class Looks:
    """Turns the colours and the layout."""

    def __init__(self, app: "CrewdeskApp") -> None:
        self._app = app

    def first(self) -> None:
        """Take the colours that the shop keeps, before anything is read of the style sheets:
        a theme that is turned later has them all read again."""
        app, name = self._app, USUAL_THEME
        for theme in app.loaded.themes:
            app.register_theme(theme)
        with suppress(CrewdeskError):
            name = self._theme()
        app.set_reactive(App.theme, name)
        dark = app.current_theme.dark
        app.set_class(dark, "-dark-mode", update=False)
        app.set_class(not dark, "-light-mode", update=False)
        app.set_class(True, f"-theme-{app.current_theme.name}", update=False)
        app.stylesheet.set_variables(app.get_css_variables())

    def begin(self) -> str:
        """Look as the shop keeps it, but large where that was asked for; what is in the way of
        reading the shop, or ""."""
        app = self._app
        app.set_class(app.large, LARGE)
        asked = app.large
        try:
            self.as_kept()
        except CrewdeskError as refused:
            return str(refused)
        if asked:
            self._lay_out(large=True)
            self._keep(layout=LARGE)
        return ""

    def as_kept(self) -> None:
        """Look as the shop has it; raises `NotAllowed`."""
        self._app.theme = self._theme()
        self._lay_out(large=self._app.desk.shop.shop().layout == LARGE)

    def _theme(self) -> str:
        """The theme that the shop has; raises `NotAllowed`."""
        kept = self._app.desk.shop.shop().theme
        return kept if kept in self._app.available_themes else USUAL_THEME

    def next_theme(self) -> None:
        """The next theme."""
        app = self._app
        names = [theme.name for theme in app.loaded.themes]
        if not names:
            return
        place = names.index(app.theme) + 1 if app.theme in names else 0
        app.theme = names[place % len(names)]
        if self._keep(theme=app.theme):
            app.tell(f"Colors: {app.theme}.  Next: {key_words(app.key('everywhere.colours'))}")

    def turn_large(self) -> None:
        """Large letters and keys to touch, or as before."""
        app = self._app
        self._lay_out(large=not app.large)
        if self._keep(layout=LARGE if app.large else USUAL):
            told = "The large layout" if app.large else "The usual layout"
            key = key_words(app.key("everywhere.large"))
            app.tell(f"{told}, also at the next start; {key} turns it.")

    def choose(self, key: str, value: str) -> None:
        """Show what was chosen of the shop's values, where it is one that is looked at."""
        if key == "theme":
            self._app.theme = value
        elif key == "layout":
            self._lay_out(large=value == LARGE)

    def _lay_out(self, *, large: bool) -> None:
        app = self._app
        if large == app.large == app.has_class(LARGE):
            return
        app.large = large
        app.set_class(large, LARGE)
        for screen in app.screen_stack:
            for rows in screen.query(TallRows):
                rows.lay_out_rows()

    def _keep(self, **values: str) -> bool:
        """Keep it in the shop, one's own and not that of a sample; False where that fails."""
        app = self._app
        try:
            app.own_desk.shop.change(app.now(), **values)
        except CrewdeskError as refused:
            app.tell(str(refused), "wrong")
            return False
        return True

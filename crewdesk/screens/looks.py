"""The colors and layout: as Business settings keep them, and as changed from anywhere. A change is
saved for the next start."""

from contextlib import suppress

from textual.app import App

from crewdesk.errors import CrewdeskError
from crewdesk.screens.desk_app import DeskApp
from crewdesk.screens.parts.actions import key_words
from crewdesk.screens.parts.lines import TallRows
from crewdesk.screens.parts.themes import Loaded

USUAL_THEME = "night"
USUAL, LARGE = "usual", "large"


class LookingApp(DeskApp):
    """An app whose colors and layout can be turned."""

    large: bool
    loaded: Loaded

    def look_first(self) -> None:
        """Take the colors that the shop keeps, before anything is read of the style sheets: a theme
        that is turned later has them all read again."""
        name = USUAL_THEME
        for theme in self.loaded.themes:
            self.register_theme(theme)
        with suppress(CrewdeskError):
            name = self._kept_theme()
        self.set_reactive(App.theme, name)
        dark = self.current_theme.dark
        self.set_class(dark, "-dark-mode", update=False)
        self.set_class(not dark, "-light-mode", update=False)
        self.set_class(True, f"-theme-{self.current_theme.name}", update=False)
        self.stylesheet.set_variables(self.get_css_variables())

    def begin_look(self) -> str:
        """Set the saved look, but large if requested; return the error of reading the settings, or
        ""."""
        self.set_class(self.large, LARGE)
        asked = self.large
        try:
            self.look_as_kept()
        except CrewdeskError as refused:
            return str(refused)
        if asked:
            self._lay_out(large=True)
            self._keep(layout=LARGE)
        return ""

    def look_as_kept(self) -> None:
        """Set the look of Business settings; raises `NotAllowed`."""
        self.theme = self._kept_theme()
        self._lay_out(large=self.desk.shop.shop().layout == LARGE)

    def _kept_theme(self) -> str:
        """Return the saved theme; raises `NotAllowed`."""
        kept = self.desk.shop.shop().theme
        return kept if kept in self.available_themes else USUAL_THEME

    def action_next_theme(self) -> None:
        names = [theme.name for theme in self.loaded.themes]
        if not names:
            return
        place = names.index(self.theme) + 1 if self.theme in names else 0
        self.theme = names[place % len(names)]
        if self._keep(theme=self.theme):
            self.tell(f"Colors: {self.theme}.  Next: {key_words(self.key('everywhere.colours'))}")

    def action_turn_large(self) -> None:
        self._lay_out(large=not self.large)
        if self._keep(layout=LARGE if self.large else USUAL):
            told = "The large layout" if self.large else "The usual layout"
            key = key_words(self.key("everywhere.large"))
            self.tell(f"{told}, also at the next start. Press {key} to change it back.")

    def choose_look(self, key: str, value: str) -> None:
        """Apply a changed setting if it is part of the look."""
        if key == "theme":
            self.theme = value
        elif key == "layout":
            self._lay_out(large=value == LARGE)

    def _lay_out(self, *, large: bool) -> None:
        if large == self.large == self.has_class(LARGE):
            return
        self.large = large
        self.set_class(large, LARGE)
        for screen in self.screen_stack:
            screen.update_node_styles(animate=False)  # Textual does so only for the one in front
            for rows in screen.query(TallRows):
                rows.lay_out_rows()

    def _keep(self, **values: str) -> bool:
        """Save it in the user's own settings, not a sample's; return False if that fails."""
        try:
            self.own_desk.shop.change(self.now(), **values)
        except CrewdeskError as refused:
            self.tell(str(refused), "wrong")
            return False
        return True

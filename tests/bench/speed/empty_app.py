"""The least that Textual can show, to measure crewdesk against."""

from textual.app import App, ComposeResult
from textual.widgets import Static


class EmptyApp(App[None]):
    def compose(self) -> ComposeResult:
        yield Static("Larchfield")


if __name__ == "__main__":
    EmptyApp().run()

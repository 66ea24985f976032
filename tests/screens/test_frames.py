"""Frames of the tests (`tests/frames.py`): what can't be shown fails there as in a terminal."""

import pytest
from textual.app import App
from textual.scroll_view import ScrollView
from textual.strip import Strip
from textual.widget import Widget


class Whole(Widget):
    broken = False

    def render(self) -> str:
        if self.broken:
            raise ZeroDivisionError
        return "all is well"


class ByLines(ScrollView):
    broken = False

    def render_line(self, y: int) -> Strip:
        if self.broken:
            raise ZeroDivisionError
        return Strip.blank(self.size.width)


@pytest.mark.parametrize("kind", [Whole, ByLines])
async def test_what_breaks_as_it_is_shown_anew_breaks_the_test(kind: type[Widget]) -> None:
    shown = kind()

    class Shows(App[None]):
        def compose(self):
            yield shown

    async def walk() -> None:
        async with Shows().run_test(size=(20, 5)) as pilot:
            await pilot.pause()
            shown.broken = True
            shown.refresh()
            await pilot.pause()

    with pytest.raises(ZeroDivisionError):
        await walk()


async def test_a_picture_has_its_lines() -> None:
    class Shows(App[None]):
        def compose(self):
            yield Whole()

    async with Shows().run_test(size=(20, 5)) as pilot:
        await pilot.pause()
        assert "all" in pilot.app.export_screenshot()

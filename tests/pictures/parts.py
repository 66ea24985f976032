"""Draw the shared parts of the screens as text, for DEVELOPERS.md, section "The look".

`python -m tests.pictures.parts` draws them and puts them there.
"""

import asyncio
import re
from pathlib import Path

from textual.app import App, ComposeResult

from crewdesk.screens.parts import stick
from crewdesk.screens.parts.figure import big
from crewdesk.screens.parts.lines import SIGNS, STYLES, TICK, Lines
from crewdesk.screens.parts.pick_list import PickList
from crewdesk.screens.parts.themes import COLORS, MARKS
from tests.pictures.into_readme import note, with_pictures
from tests.pictures.run_sheet import screen_text

GUIDE = Path(__file__).parent.parent.parent / "DEVELOPERS.md"
WIDE = 24
INK = re.compile(r"\.lines--(\w+) \{ color: \$(\w+)")


class PickListApp(App[None]):
    """A screen with a pick list alone, the cursor on its second row."""

    CSS = "PickList { border: none; padding: 0; height: 3; }"

    def compose(self) -> ComposeResult:
        yield PickList("  side A", "  side B", "  bottom")

    def on_mount(self) -> None:
        self.query_one(PickList).highlighted = 1


async def pick_list() -> list[str]:
    """Return a pick list's lines as its screen shows them."""
    app = PickListApp()
    async with app.run_test(size=(WIDE, 3)) as pilot:
        await pilot.pause()
        return screen_text(app).splitlines()  # type: ignore[arg-type]


def inks() -> dict[str, list[str]]:
    """Return the inks of `Lines` by the theme color that each one is drawn in."""
    found: dict[str, list[str]] = {}
    for ink, color in INK.findall(Lines.DEFAULT_CSS):
        if ink in STYLES:
            found.setdefault(color, []).append(ink)
    return found


async def parts() -> str:
    """Return the drawing of every shared part, each under its name and file."""
    drawn = {
        "stick.stick: made, left to do, plan": [_joined(stick.stick(3, 5, 6, WIDE))],
        "stick.stick: over its plan": [_joined(stick.stick(6, 5, 6, WIDE))],
        "stick.span_stick: low, likely, high": [_joined(stick.span_stick(1, 3, 5, 6, WIDE))],
        "stick.day_stick: hours worked": [
            _joined(stick.day_stick([(8, 12, "made"), (13, 16, "made")], 7, 18, WIDE))
        ],
        "stick.ruled: heads a group": [_joined(stick.ruled("Study", WIDE))],
        "stick.dimension: a length": [stick.dimension("109 3/4", WIDE)],
        "figure.big: a setting": big("109 3/4", 60, 5),
        "pick_list.PickList: a choice": await pick_list(),
        "lines.TICK: the cursor's row": [TICK],
        "lines.SIGNS: a step's state": [
            "  ".join(f"{sign} {state}" for state, sign in SIGNS.items() if sign)
        ],
        "lines.STYLES: inks by theme color": [
            f"${color}: {', '.join(names)}" for color, names in inks().items()
        ],
        "themes.COLORS: colors of a theme": [
            f"{len(COLORS)}, of which {', '.join(MARKS)} mark text"
        ],
    }
    lines = [
        f"{name if not at else '':<38}{line}".rstrip()
        for name, drawing in drawn.items()
        for at, line in enumerate(drawing)
    ]
    return "\n".join(lines)


def for_guide() -> dict[str, str]:
    """Return the drawing as it must be in DEVELOPERS.md, by this module's name."""
    return {"parts": f"```text\n{asyncio.run(parts())}\n```\n"}


def _joined(line: list[stick.Part]) -> str:
    return "".join(text for text, _ in line)


if __name__ == "__main__":
    text = GUIDE.read_text(encoding="utf-8")
    assert note("parts") in text
    GUIDE.write_text(with_pictures(text, for_guide()), encoding="utf-8")

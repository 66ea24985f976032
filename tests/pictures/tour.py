"""The pictures of README's tour, made by the program itself on the sample job.

python -m tests.pictures.tour
"""

import asyncio
import tempfile
from pathlib import Path

from tests.pictures.drawn import svg_of
from tests.pictures.pages import app_in, go

FOLDER = Path(__file__).with_name("tour")
SIZE = (80, 24)
WAY = {
    "run-sheet": ("pageup",) * 4 + ("down",) * 2 + ("right",) * 3,
    "batch": ("n", "enter"),
    "piece": ("escape", "u", "enter", *"3/16", "tab", "o"),
    "clock": ("enter", "escape", "f2"),
    "invoice": ("4", "dollar_sign", "n"),
}
"""Each picture with the keys that lead there from the one before."""


async def photographed() -> dict[str, str]:
    """Each picture as SVG."""
    made = {}
    with tempfile.TemporaryDirectory() as folder:
        app = app_in("sample", Path(folder))
        async with app.run_test(size=SIZE) as pilot:
            await pilot.pause()
            for name, keys in WAY.items():
                await go(pilot, keys)
                made[name] = svg_of(app)
    return made


def main() -> None:
    """Write them anew."""
    FOLDER.mkdir(exist_ok=True)
    for name, svg in asyncio.run(photographed()).items():
        (FOLDER / f"{name}.svg").write_text(svg, encoding="utf-8")


if __name__ == "__main__":
    main()

"""Photographs every page and question into a folder outside the checkout, to be looked at.

python -m tests.pictures.photograph FOLDER [--size 80x24] [--theme night] [--state sample]
    [--page piece] [--large]

Without options: every state, page and theme at 80x24, 120x40 and 160x50, as SVG, and as
PNG where cairosvg is installed.
"""

import argparse
import asyncio
import sys
import tempfile
from pathlib import Path

from crewdesk.screens.parts.themes import load_themes
from tests.pictures.drawn import svg_of
from tests.pictures.pages import STATES, app_in, go

CHECKOUT = Path(__file__).resolve().parent.parent.parent
SIZES = ("80x24", "120x40", "160x50")
THEMES = tuple(theme.name for theme in load_themes().themes)


def main(words: list[str] | None = None) -> int:
    """Read the words, take the pictures; gives the exit status."""
    parser = argparse.ArgumentParser(prog="python -m tests.pictures.photograph")
    parser.add_argument("folder", type=Path)
    parser.add_argument("--size", action="append")
    parser.add_argument("--theme", action="append", choices=THEMES)
    parser.add_argument("--state", action="append", choices=tuple(STATES))
    parser.add_argument("--page", action="append")
    parser.add_argument("--large", action="store_true")
    args = parser.parse_args(words)
    if args.folder.resolve().is_relative_to(CHECKOUT):
        parser.error("pictures go into a folder outside the checkout")
    args.folder.mkdir(parents=True, exist_ok=True)
    for state in args.state or STATES:
        for theme in args.theme or THEMES:
            for size in args.size or SIZES:
                wide, high = map(int, size.split("x"))
                for page, keys in STATES[state].items():
                    if args.page and page not in args.page:
                        continue
                    svg = asyncio.run(photograph(state, keys, theme, (wide, high), args.large))
                    large = "-large" if args.large else ""
                    save(args.folder / f"{state}-{page}-{theme}-{size}{large}.svg", svg, wide)
    return 0


async def photograph(
    state: str, keys: tuple[str, ...], theme: str, size: tuple[int, int], large: bool = False
) -> str:
    """One picture, as SVG."""
    with tempfile.TemporaryDirectory() as folder:
        app = app_in(state, Path(folder), large=large)
        async with app.run_test(size=size) as pilot:
            app.theme = theme
            await pilot.pause()
            await go(pilot, keys)
            await pilot.pause(0.1)
            return svg_of(app)


def save(path: Path, svg: str, wide: int) -> None:
    """Write the SVG and, where it can be made, the PNG beside it."""
    path.write_text(svg, encoding="utf-8")
    try:
        from cairosvg import svg2png
    except ImportError:
        return
    svg2png(svg.encode(), write_to=str(path.with_suffix(".png")), output_width=wide * 11)


if __name__ == "__main__":
    sys.exit(main())

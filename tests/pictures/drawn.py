"""A screen as SVG: no font from elsewhere, no cursor that blinks, the same each time."""

import re
from xml.etree import ElementTree

from textual.app import App
from textual.widgets import Input

_FONT_FACE = re.compile(r"\s*@font-face \{.*?\}", re.DOTALL)
_SVG = "{http://www.w3.org/2000/svg}"


def svg_of(app: App[None]) -> str:
    """The screen as it stands."""
    for line in app.screen.query(Input):
        line.cursor_blink = False
    svg = _FONT_FACE.sub("", app.export_screenshot(title="crewdesk"))
    svg = svg.replace("Fira Code", "DejaVu Sans Mono")
    name = re.search(r"terminal-\d+", svg)
    return svg.replace(name[0], "terminal") if name else svg


def words_of(svg: str) -> list[str]:
    """What is to be read on such a picture, from its first line to its last."""
    texts = ElementTree.fromstring(svg).iter(f"{_SVG}text")
    return ["".join(one.itertext()).replace("\xa0", " ").strip() for one in texts]

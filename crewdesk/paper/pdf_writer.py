"""The PDF library, imported when something is printed."""

import sys
from collections.abc import Callable, Iterable, Mapping
from functools import partial
from pathlib import Path
from threading import active_count
from typing import TYPE_CHECKING, cast
from unicodedata import bidirectional, combining, normalize

from crewdesk.paper.plain import plain
from crewdesk.store.disk import shipped

if TYPE_CHECKING:
    from fpdf import FPDF

_ONLY_FOR_PICTURES = "numpy"


def pdf_writer() -> "type[FPDF]":
    """Return fpdf2's FPDF, imported without numpy.

    fpdf2 uses numpy for pictures; no page here has one, and without it fpdf2 imports in three
    quarters of the time. numpy is not hidden while another thread may import it.
    """
    if "fpdf" in sys.modules or _ONLY_FOR_PICTURES in sys.modules or active_count() > 1:
        from fpdf import FPDF

        return FPDF
    sys.modules[_ONLY_FOR_PICTURES] = None  # type: ignore[assignment]
    try:
        from fpdf import FPDF
    finally:
        del sys.modules[_ONLY_FOR_PICTURES]
    return FPDF


CORE, EMBEDDED = "Helvetica", "Wide"
_PLAIN, _BOLD = "DejaVuSansCondensed.ttf", "DejaVuSansCondensed-Bold.ttf"
_TYPESET = str.maketrans(
    {"\u2018": "'", "\u2019": "'", "\u201c": '"', "\u201d": '"', "\u2013": "-", "\u2014": "-",
     "\u2212": "-", "\u2026": "...", "\u20ac": "EUR", "\u2022": "-"}
)  # fmt: skip
_LIKE = {
    "\u0141": "L", "\u0142": "l", "\u0110": "D", "\u0111": "d", "\u0126": "H", "\u0127": "h",
    "\u0131": "i", "\u0152": "OE", "\u0153": "oe", "\u0166": "T", "\u0167": "t", "\u1e9e": "SS",
}  # fmt: skip
"""Replacements for Latin letters that aren't a letter with an accent."""
_LAST_OF_CORE = 255


class Lettering:
    """The font of one PDF, chosen for all `texts` in it."""

    def __init__(self, pdf: "FPDF", texts: Iterable[str], fonts: Path | None = None) -> None:
        """Choose the font; `fonts` is the folder of the one to embed, the shipped one by
        default."""
        from fpdf.fonts import TTFFont

        self._known: set[int] | None = None
        self.font = CORE
        every = "".join(set("".join(map(_line, texts)).translate(_TYPESET)))
        if max(map(ord, every), default=0) <= _LAST_OF_CORE:
            return
        folder = fonts or shipped("fonts")
        if (folder / _PLAIN).is_file() and (folder / _BOLD).is_file():
            pdf.add_font(EMBEDDED, "", folder / _PLAIN)
            pdf.add_font(EMBEDDED, "B", folder / _BOLD)
            both = [pdf.fonts[f"{EMBEDDED.lower()}{style}"] for style in ("", "B")]
            self._known = set.intersection(
                *(set(one.cmap) for one in both if isinstance(one, TTFFont))
            )
            self.font = EMBEDDED

    def widths(self, pdf: "FPDF") -> tuple[Callable[[str], float], Callable[[str], float]]:
        """Return the width functions for plain and bold letters, in thousandths of their size."""
        tell = []
        for style in ("", "B"):
            pdf.set_font(self.font, style, 1)
            font = pdf.current_font
            assert font is not None
            widths = cast("Mapping[int | str, float]", font.cw)
            tell.append(partial(_width, widths, self._known is None))
        return tell[0], tell[1]

    def shown(self, text: str) -> str:
        """Return the text on one line, in letters that the font has."""
        line = _line(text)
        if self._known is None:
            line = line.translate(_TYPESET)
        if not line.isascii():
            line = "".join(c if self._has(c) else self._like(c) for c in line)
            if any(bidirectional(c) in ("R", "AL") for c in line):
                line = _as_read(line)
        return line

    def _has(self, letter: str) -> bool:
        if self._known is None:
            return ord(letter) <= _LAST_OF_CORE
        return ord(letter) in self._known

    def _like(self, letter: str) -> str:
        like = _LIKE.get(letter) or "".join(
            c for c in normalize("NFKD", letter) if not combining(c)
        )
        return like if like and all(self._has(c) for c in like) else "?"


def _line(text: str) -> str:
    """Return a text on one line, each letter combined with the accent that follows it."""
    return plain(text if text.isascii() else normalize("NFC", text))


def _width(widths: Mapping[int | str, float], core: bool, text: str) -> float:
    """Return a character's width: core fonts list it by letter, embedded fonts by number."""
    return sum(widths[c] for c in text) if core else sum(widths[ord(c)] for c in text)


def _as_read(line: str) -> str:
    """Return a line with right-to-left letters in their order on paper."""
    from fpdf.bidi import BidiParagraph
    from fpdf.enums import TextDirection

    return BidiParagraph(line, base_direction=TextDirection.LTR).get_reordered_string()

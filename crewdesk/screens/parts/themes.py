"""Color themes, read from TOML files: the shipped ones and the user's own.

A theme file is named for its theme (``night.toml``) and holds

    dark = true
    [colors]
    background = "#15110e"

with one ``"#rrggbb"`` for every name in `COLORS`; those in `LATER` may be left out. The names
in `ENTRY`, `TINT`, `SIGNS`, `DRAWING` and `MARKS` become variables of the screens' style sheets
(``$ready``, ``$waste``).
"""

import re
import tomllib
from pathlib import Path
from typing import Any, NamedTuple

from textual.theme import Theme

from crewdesk.store.disk import APPLE_DOUBLE, read_bytes, shipped

GROUNDS = ("background", "surface", "panel")
ENTRY = ("entry",)
TINT = ("cursor",)
WORDS = ("foreground", "muted", "primary", "secondary", "accent", "success", "warning", "error")
SIGNS = ("done", "ready", "part", "waiting", "blocked", "skipped", "override")
DRAWING = ("board", "mark", "waste", "wall")
MARKS = ("key", "dimension", "over")
COLORS = GROUNDS + ENTRY + TINT + WORDS + SIGNS + DRAWING + MARKS
LATER = {"cursor": "panel", "key": "accent", "dimension": "mark", "over": "warning"}
"""Colors that older themes may lack, each with its replacement."""

_NAME = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*")
_COLOR = re.compile(r"#[0-9A-Fa-f]{6}")


class Loaded(NamedTuple):
    """`themes` in the order they were found, the shipped ones first; `complaints`, one sentence for
    each skipped file."""

    themes: tuple[Theme, ...]
    complaints: tuple[str, ...]


class BadTheme(ValueError):
    """An unusable theme file; its text is one sentence that says why."""


def load_themes(own: Path | None = None) -> Loaded:
    """Return the shipped themes, and those in the folder `own`, which may not exist.

    A user's theme replaces a shipped one of its name. Nothing is raised: a bad file is skipped, and
    reported in `complaints`.
    """
    themes: dict[str, Theme] = {}
    complaints: list[str] = []
    for folder in (shipped("themes"), own):
        if folder is None:
            continue
        try:
            paths = sorted(
                one for one in folder.glob("*.toml") if not one.name.startswith(APPLE_DOUBLE)
            )
        except OSError as error:
            complaints.append(f"The theme folder {_told(folder)} can't be read: {_reason(error)}.")
            continue
        for path in paths:
            try:
                theme = read_theme(path, shipped=folder != own)
            except BadTheme as bad:
                complaints.append(str(bad))
            else:
                themes[theme.name] = theme
    return Loaded(tuple(themes.values()), tuple(complaints))


def read_theme(path: Path, *, shipped: bool = False) -> Theme:
    """Return the theme in one file; raises `BadTheme`. A `shipped` one may be a link, as some
    installers make them."""
    where = f"The theme file {_told(path.name)}"
    if not _NAME.fullmatch(path.stem):
        raise BadTheme(
            f"{where} can't name a theme. Use small letters, digits and hyphens, like night.toml."
        )
    try:
        text = read_bytes(path, named=shipped).decode("utf-8-sig")
        line = tomllib.loads(text)
    except OSError as error:
        raise BadTheme(f"{where} can't be read: {_reason(error)}.") from None
    except (ValueError, RecursionError) as error:
        raise BadTheme(
            f"{where} isn't TOML ({_told(str(error)[:80])}). Write dark = true, then "
            '[colors], then lines like ready = "#ffd34d".'
        ) from None
    dark, colors = _checked(line, where)
    return themed(path.stem, dark, colors)


def _checked(told: dict[str, Any], where: str) -> tuple[bool, dict[str, str]]:
    """`dark` and the colors, each of them there and nothing besides."""
    for key in told:
        if key not in ("dark", "colors"):
            raise BadTheme(
                f"{where} has the unknown key {_told(key)}. It can have dark and [colors]."
            )
    dark, colors = told.get("dark"), told.get("colors")
    if not isinstance(dark, bool):
        raise BadTheme(f"{where} must say dark = true or dark = false.")
    if not isinstance(colors, dict):
        raise BadTheme(f'{where} must have a table [colors] with lines like ready = "#ffd34d".')
    for key, value in colors.items():
        if key not in COLORS:
            raise BadTheme(
                f"{where} has the unknown color {_told(key)}. It can have {', '.join(COLORS)}."
            )
        if not isinstance(value, str) or not _COLOR.fullmatch(value):
            raise BadTheme(f'{where} has {_told(str(value))} for {key}. A color is like "#ffd34d".')
    colors = {key: colors[usual] for key, usual in LATER.items() if usual in colors} | colors
    for key in COLORS:
        if key not in colors:
            raise BadTheme(f'{where} has no color for {key}. Add {key} = "#rrggbb" to [colors].')
    return dark, colors


def themed(name: str, dark: bool, colors: dict[str, str]) -> Theme:
    """Return a Textual theme. Colors that Textual would derive by fading or tinting, which lowers
    the contrast, are set to colors of the file instead."""
    back, ink, muted, primary = (
        colors[key] for key in ("background", "foreground", "muted", "primary")
    )
    variables = {key: colors[key] for key in (*ENTRY, *TINT, *SIGNS, *DRAWING, *MARKS)}
    variables |= {
        "text": ink,
        "muted": muted,
        "text-muted": muted,
        "text-disabled": muted,
        "foreground-muted": muted,
        "foreground-disabled": muted,
        "border-blurred": muted,
        "block-cursor-background": colors["cursor"],
        "block-cursor-foreground": ink,
        "block-cursor-text-style": "bold",
        "block-cursor-blurred-background": colors["panel"],
        "button-color-foreground": back,
        "input-selection-background": primary,
        "input-selection-foreground": back,
        "link-color-hover": back,
        "screen-selection-background": primary,
        "screen-selection-foreground": back,
    }
    given: dict[str, Any] = {key: colors[key] for key in (*GROUNDS, *WORDS) if key != "muted"}
    return Theme(name, **given, dark=dark, text_alpha=1.0, variables=variables)


def _told(given: object) -> str:
    """Return `given` for one line of a sentence."""
    text = "".join(c if c.isprintable() else "?" for c in str(given))
    return text if len(text) <= 80 else f"{text[:77]}..."


def _reason(error: OSError) -> str:
    return (error.strerror or "unknown reason").lower()

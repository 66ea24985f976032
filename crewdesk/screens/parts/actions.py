"""The actions of each page, from `actions.toml`, and their keys.

A key of one's own is given to an action by its id, `run-sheet.pass-gate`: the area it belongs
to and its name there. Those are the ids of Textual's bindings too. A sentence names a key the
same way, in braces: `Press {pass-gate} to go on.`

A terminal, a system or a laptop keeps some keys for itself, so that they never come here. An
action that has such a key has another as well, and texts name the first one that works. A key
that its user gave to an action is named as it is: they know their keyboard.
"""

import re
import sys
import tomllib
from collections.abc import Callable, Iterator, Mapping, Sequence
from pathlib import Path
from string import punctuation
from typing import NamedTuple

from textual.binding import Binding
from textual.keys import format_key

PLATFORM = sys.platform
"""The system that the keys are for; tests set it."""

_F_KEYS = frozenset(f"f{number}" for number in range(1, 13))
LAPTOP = _F_KEYS | {"delete"}
"""Keys that many laptops lack, or give only while Fn is held."""

_ARROWS = ("up", "down", "left", "right")
_SCROLLING = ("pageup", "pagedown", "home", "end")


def _with(held: str, *keys: str) -> frozenset[str]:
    return frozenset(f"{held}+{key}" for key in keys)


_WINDOWS_TERMINAL = (
    _with("alt", "f4", "enter", "space", *_ARROWS)
    | _with("alt+shift", *_ARROWS)
    | _with("ctrl", "tab", "comma", "plus", "minus", "0", "insert", "c", "v")
    | _with("ctrl+shift", "tab", "space", *"acdfmnptvw", "up", "down", *_SCROLLING)
    | {"f11", "shift+insert"}
)
_MACOS = (
    _with("ctrl", "tab", "space", *_ARROWS, *_SCROLLING)
    | _with("ctrl+shift", "tab")
    | _with("alt", "enter", *_ARROWS)
    | set(_SCROLLING)
)
"""Terminal.app scrolls with Page Up, Page Down, Home and End, Mission Control takes Ctrl with the
arrows, and Option types signs or moves by words."""

KEPT = {"win32": _WINDOWS_TERMINAL | LAPTOP, "darwin": _MACOS | LAPTOP}
"""The keys that each system keeps, by its name (`sys.platform`), as Textual names keys. Other
systems have none: terminals differ, and their keys can be set."""


def first_usable(keys: Sequence[str], platform: str) -> str:
    """Return the first of an action's keys that the system doesn't keep; the first of all if it
    keeps all; "" if there are none."""
    kept = KEPT.get(platform, frozenset())
    return next((one for one in keys if one not in kept), keys[0] if keys else "")


EVERYWHERE = "everywhere"


class Action(NamedTuple):
    """An action; `actions.toml` explains the fields."""

    area: str
    name: str
    words: str
    keys: tuple[str, ...]
    about: str
    does: str
    find: str = ""
    footer: bool = True
    first: bool = False

    @property
    def id(self) -> str:
        """Its id: area and name."""
        return f"{self.area}.{self.name}"


class Area(NamedTuple):
    """A page or sheet with its actions; `way` is the id of the action that leads there."""

    name: str
    words: str
    actions: tuple[Action, ...]
    way: str = ""
    typed_on: bool = False
    to_do: str = ""


def _read() -> Iterator[Area]:
    path = Path(__file__).with_name("actions.toml")
    for area, text in tomllib.loads(path.read_text("utf-8")).items():
        rows = text.pop("actions")
        for row in rows:
            row["keys"] = tuple(row["keys"].split(","))
            if page := row.pop("opens", ""):
                row["does"] = f"open_page{page, row.pop('needs', '')}"
            row.setdefault("does", row["name"].replace("-", "_"))
        yield Area(area, actions=tuple(Action(area, **row) for row in rows), **text)


AREAS = {area.name: area for area in _read()}
"""Every area by its name, in the order of the list of keys."""
ACTIONS = {action.id: action for area in AREAS.values() for action in area.actions}
"""Every action by its id."""

_KEY_WORDS = {"escape": "Esc", "delete": "Del", "pagedown": "PgDn", "pageup": "PgUp"}


def bindings(area: str) -> list[Binding]:
    """Return Textual's bindings for the actions of an area."""
    return [
        Binding(key, one.does, one.words, show=one.footer, priority=one.first, id=one.id)
        for one in AREAS[area].actions
        for key in one.keys
    ]


def key_words(key: str) -> str:
    """Return a key's name as on the keyboard: ``Ctrl+s``, ``F3``, ``a``."""
    *held, last = key.split("+")
    if (sign := format_key(last)) in punctuation:
        last = sign
    elif len(last) > 1:
        last = _KEY_WORDS.get(last, last.capitalize())
    return "+".join((*(one.capitalize() for one in held), last))


def key_of(id_: str, keymap: Mapping[str, str], platform: str) -> str:
    """Return the key by which texts name an action, as Textual names it, or "": the first that
    its user gave it, otherwise the first usual one that the system lets through."""
    if own := keymap.get(id_):
        return own.split(",")[0]
    return first_usable(ACTIONS[id_].keys if id_ in ACTIONS else (), platform)


def with_keys(text: str, area: str, key: Callable[[str], str]) -> str:
    """Return a text with actions in braces replaced by their keys: ``{tick}`` is one of the area,
    ``{everywhere.help}`` one of another. `key` returns an action's key."""

    def put(match: re.Match[str]) -> str:
        named = key(match[1] if "." in match[1] else f"{area}.{match[1]}")
        return key_words(named) if named else match[0]

    return re.sub(r"\{([a-z0-9-]+(?:\.[a-z0-9-]+)?)\}", put, text)

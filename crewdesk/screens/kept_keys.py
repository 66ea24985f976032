"""Keys that a terminal, a system or a laptop keeps for itself, so that they never come here.

An action that has such a key has another as well, and texts name the first one that works. A key
that its user gave to an action in keys.toml is named as it is: they know their keyboard.
"""

import sys
from collections.abc import Sequence

PLATFORM = sys.platform
"""The system whose keys are named; the tests set it."""

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
"""By the system's name (`sys.platform`), as Textual names keys. Elsewhere none are: terminals
differ, and their keys can be set."""


def first_usable(keys: Sequence[str], platform: str) -> str:
    """Return the first of an action's keys that a system lets through; the first of all if none
    is; "" if there are no keys."""
    kept = KEPT.get(platform, frozenset())
    return next((one for one in keys if one not in kept), keys[0] if keys else "")

"""A user's own keys, from the file `keys.toml` in the data folder.

The file has a table for each page and a line for each action with other keys:

    [run-sheet]
    tick = "t"
    batch = ["b", "f11"]

An invalid line is skipped and reported in a sentence; the rest counts. Nothing is loaded if there
is no such file.
"""

import json
import string
import tomllib
import unicodedata
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

from textual.keys import Keys

from crewdesk.errors import NotAllowed
from crewdesk.job.text_limits import brief, quoted
from crewdesk.paper.sheet import Sheet
from crewdesk.screens.parts.actions import AREAS, EVERYWHERE, Area
from crewdesk.store.disk import open_to_read

FILE = "keys.toml"
LARGEST = 100_000
_HELD = ("ctrl", "alt", "shift")
_SPELLED = {
    "esc": "escape",
    "del": "delete",
    "ins": "insert",
    "return": "enter",
    "pgdn": "pagedown",
    "pgup": "pageup",
    "page down": "pagedown",
    "page up": "pageup",
}
_SIGNS = {
    "hyphen_minus": "minus",
    "plus_sign": "plus",
    "low_line": "underscore",
    "reverse_solidus": "backslash",
    "solidus": "slash",
    "commercial_at": "at",
}
_TYPING = ("space", "backspace", "delete", "enter")
_MOVING = {"up", "down", "left", "right", "home", "end", "pageup", "pagedown", "tab", "shift+tab"}
_SAME = {"ctrl+m": "Enter", "ctrl+i": "Tab", "ctrl+h": "Backspace", "ctrl+j": "Enter"}
"""Keys that a terminal can't distinguish from others."""
_TAKEN = {"ctrl+c": "copies", "ctrl+v": "pastes", "ctrl+x": "cuts out", "ctrl+u": "clears a line"}
_KNOWN = {one.value for one in Keys if not one.value.startswith(("<", "ctrl-"))}


class OwnKeys(NamedTuple):
    """The keys by a binding's id, separated by commas; a sentence for each skipped line."""

    keymap: Mapping[str, str] = {}
    complaints: tuple[str, ...] = ()


class _Bad(Exception):
    """An invalid line; its text is the sentence."""


def read_own_keys(path: Path) -> OwnKeys:
    """Return the keys in a file, which may not exist."""
    try:
        with open_to_read(path) as file:
            data = file.read(LARGEST + 1)
        if len(data) > LARGEST:
            return OwnKeys({}, (f"{FILE} is too large, so the usual keys are used.",))
        text = tomllib.loads(data.decode("utf-8-sig"))
    except FileNotFoundError:
        return OwnKeys()
    except OSError as error:
        return OwnKeys({}, (f"{FILE} can't be read: {error.strerror}. The usual keys are used.",))
    except (ValueError, RecursionError) as error:
        why = quoted(str(error))
        return OwnKeys(
            {},
            (f'{FILE} isn\'t TOML ({why}). Write [run-sheet] and then lines like tick = "t".',),
        )
    return _checked(text)


def _checked(told: dict[str, Any]) -> OwnKeys:
    keymap: dict[str, str] = {}
    complaints: list[str] = []
    for page, lines in told.items():
        try:
            if page not in AREAS or not isinstance(lines, dict):
                raise _Bad(
                    f"{FILE} has the unknown page {brief(page)}. It can have {', '.join(AREAS)}."
                )
        except _Bad as bad:
            complaints.append(str(bad))
            continue
        for name, keys in lines.items():
            try:
                usual, own = _keys(AREAS[page], name, keys)
                if own != usual:
                    keymap[f"{page}.{name}"] = ",".join(own)
            except _Bad as bad:
                complaints.append(str(bad))
    return _without_clashes(keymap, complaints)


def _keys(page: Area, name: str, keys: Any) -> tuple[list[str], list[str]]:
    """Return the usual keys of an action and those in a line, as Textual names them."""
    usual = {one.name: one.keys for one in page.actions}
    if name not in usual:
        raise _Bad(f"{FILE} has no {brief(name)} on {page.name}. It has {', '.join(usual)}.")
    given = [keys] if isinstance(keys, str) else keys
    if not isinstance(given, list) or not given or not all(isinstance(k, str) for k in given):
        raise _Bad(
            f'{FILE}: the keys of {page.name} {name} must be text, like "t" or ["t", "f11"].'
        )
    own = dict.fromkeys(_key(page, name, key, usual[name]) for key in given)
    return list(usual[name]), list(own)


def _key(page: Area, name: str, text: str, usual: tuple[str, ...]) -> str:
    where = f"{FILE}: {page.name} {name}"
    *held, last = [text] if len(text) == 1 else [one.strip() for one in text.split("+")]
    held = [one.lower() for one in held]
    if len(last) != 1:
        last = _SPELLED.get(last.lower(), last.lower())
    if "ctrl" in held:
        last = last.lower()
    sign = len(last) == 1 and last.isprintable()
    if not (sign or last in _KNOWN or last in _sign_names()) or set(held) - set(_HELD):
        raise _Bad(f"{where}: {brief(text)} isn't a key. Write it like t, f11, space, ctrl+t.")
    named = "+".join((*held, _named(last) if sign else last))
    if named in usual:
        return named
    if named in _SAME:
        raise _Bad(f"{where} can't be {named}: a terminal takes that for {_SAME[named]}.")
    if named in _MOVING or named in _TAKEN:
        raise _Bad(f"{where} can't be {named}, which {_TAKEN.get(named, 'moves about')}.")
    if page.typed_on and (sign or last in _TYPING) and set(held) <= {"shift"}:
        raise _Bad(f"{where} can't be {quoted(text)}, because you type there. Use a key like f11.")
    return named


def _named(sign: str) -> str:
    """Return a character as Textual names its key: a letter or digit is itself, ``$`` is
    `dollar_sign`."""
    if sign.isalnum():
        return sign
    name = unicodedata.name(sign, "").lower().replace("-", "_").replace(" ", "_")
    return _SIGNS.get(name, name)


@cache
def _sign_names() -> frozenset[str]:
    return frozenset(map(_named, string.punctuation))


def _without_clashes(keymap: dict[str, str], complaints: list[str]) -> OwnKeys:
    """Skip, one by one, lines that set a key for two actions of one page."""
    while (clash := _clash(keymap)) is not None:
        culprit, other, key = clash
        complaints.append(
            f"{FILE} gives {key} to {' '.join(culprit.split('.'))}, but it is the key "
            f"of {' '.join(other.split('.'))}. The usual key stays."
        )
        del keymap[culprit]
    return OwnKeys(keymap, tuple(complaints))


def _clash(keymap: dict[str, str]) -> tuple[str, str, str] | None:
    """Return a line of the file, the action that already has its key, and the key."""
    everywhere = _keys_of(AREAS[EVERYWHERE], keymap)
    for page in AREAS.values():
        taken: dict[str, str] = {}
        here = _keys_of(page, keymap)
        for key, id_ in (*([] if page.name == EVERYWHERE else everywhere), *here):
            other = taken.setdefault(key, id_)
            if other != id_:
                culprit, kept = (id_, other) if id_ in keymap else (other, id_)
                if culprit in keymap:
                    return culprit, kept, key
    return None


def _keys_of(page: Area, keymap: dict[str, str]) -> list[tuple[str, str]]:
    return [
        (key, one.id)
        for one in page.actions
        for key in (keymap[one.id].split(",") if one.id in keymap else one.keys)
    ]


_WIDE = 46


def keys_sheet(folder: Path) -> Sheet:
    """Return the effective keys of a data folder; raises `NotAllowed` for an invalid file."""
    own = read_own_keys(folder / FILE)
    if own.complaints:
        raise NotAllowed(own.complaints[0])
    lines = [f"# Keys of crewdesk. Copy the lines you change to {FILE} in the data folder."]
    pages = []
    for page in AREAS.values():
        lines += ["", f"[{page.name}]"]
        actions = []
        for one in page.actions:
            text = own.keymap.get(one.id)
            keys = text.split(",") if text else list(one.keys)
            given = json.dumps(keys[0] if len(keys) == 1 else keys)
            lines.append(f"{f'{one.name} = {given}':<{_WIDE}} # {one.words}")
            actions.append({"name": one.name, "words": one.words, "keys": keys})
        pages.append({"name": page.name, "words": page.words, "actions": actions})
    return Sheet(tuple(lines), lambda: {"pages": pages})

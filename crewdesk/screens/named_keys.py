"""Every action of a page has a name, so that a key of one's own can be given to it.

A page tells in `KEYS_OF` what it is called; an action is named for what its key says:
`run-sheet.pass-gate`. Those names are the ids of Textual's bindings.
"""

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from importlib import import_module
from typing import Any, ClassVar, NamedTuple

from textual.binding import Binding, BindingType
from textual.screen import ModalScreen

from crewdesk.screens.kept_keys import first_usable

MODULES = (
    "app",
    "find",
    "look_up",
    "jobs",
    "run_sheet",
    "whole_job",
    "batch",
    "piece",
    "one_number",
    "lean_switch",
    "piece_steps",
    "gaps",
    "ceiling",
    "stages",
    "step_needs",
    "other_work",
    "hours",
    "pieces",
    "planned",
    "clock",
    "money",
    "next_invoice",
    "issued",
    "took",
    "accounts",
    "material",
    "shop",
    "customers",
    "past_jobs",
    "stock",
    "kept_forms",
    "beam_list",
    "ask",
    "help",
)
"""The modules of the pages that have keys, in the order in which the keys are told."""


class Action(NamedTuple):
    """What a key does on a page: its `name` there, its `words`, its usual `keys`, how
    Textual calls it, and what it is `about` in a sentence."""

    name: str
    words: str
    keys: tuple[str, ...]
    action: str
    about: str


class PageKeys(NamedTuple):
    """A page by its name, its words, its actions, and whether one types on it."""

    name: str
    words: str
    actions: tuple[Action, ...]
    typed_on: bool


_WORDS = {
    "escape": "Esc",
    "enter": "Enter",
    "space": "Space",
    "delete": "Del",
    "backspace": "Backspace",
    "pagedown": "PgDn",
    "pageup": "PgUp",
    "dollar_sign": "$",
    "exclamation_mark": "!",
    "question_mark": "?",
    "asterisk": "*",
    "ampersand": "&",
    "backslash": "\\",
    "equals_sign": "=",
    "greater_than_sign": ">",
    "left_square_bracket": "[",
    "less_than_sign": "<",
    "number_sign": "#",
    "right_square_bracket": "]",
    "tilde": "~",
}
_NAMED: dict[str, PageKeys] = {}
_MODULE_OF: dict[str, str] = {}


class NamedKeys:
    """A screen, widget or app whose bindings get names."""

    KEYS_OF: ClassVar[str] = ""
    TYPED_ON: ClassVar[bool] = False
    """Whether one types on it, so that a letter can't be a key of its own."""

    def __init_subclass__(cls, **kwargs: Any) -> None:
        if "BINDINGS" in vars(cls) and cls.KEYS_OF:
            page = name_of(cls.KEYS_OF)
            named = list(_named(page, vars(cls)["BINDINGS"]))
            cls.BINDINGS = named  # type: ignore[attr-defined]
            _NAMED[page] = PageKeys(page, cls.KEYS_OF, tuple(_actions(cls, named)), cls.TYPED_ON)
            _MODULE_OF[page] = cls.__module__.rpartition(".")[2]
        super().__init_subclass__(**kwargs)

    def on_mount(self) -> None:
        """In the large layout a question has its keys below it, to be touched."""
        if isinstance(self, ModalScreen) and getattr(self.app, "large", False):
            from crewdesk.screens.keys_line import KeysLine

            self.mount(KeysLine())

    def with_keys(self, text: str) -> str:
        """A text with the keys that the actions in its braces have here."""
        app = getattr(self, "app")  # noqa: B009
        return with_keys(text, self.KEYS_OF, app.key)


def name_of(words: str) -> str:
    """Words as a name: ``Pause, go on`` is ``pause-go-on``."""
    return re.sub(r"[^a-z0-9]+", "-", words.casefold()).strip("-")


def _named(page: str, bindings: Iterable[BindingType]) -> Iterable[Binding]:
    for one in Binding.make_bindings(bindings):
        yield replace(one, id=f"{page}.{name_of(one.description)}") if one.description else one


def _actions(page: type, bindings: Iterable[Binding]) -> Iterable[Action]:
    keys: dict[str, list[str]] = {}
    first: dict[str, Binding] = {}
    for one in bindings:
        if one.id:
            name = one.id.partition(".")[2]
            first.setdefault(name, one)
            keys.setdefault(name, []).append(one.key)
    for name, one in first.items():
        does = getattr(page, f"action_{one.action.partition('(')[0]}", None)
        about = _first_sentence(does.__doc__ or "") if does else ""
        kept = tuple(dict.fromkeys(keys[name]))
        yield Action(name, one.description, kept, one.action, about)


def _first_sentence(text: str) -> str:
    return f"{' '.join(text.split()).partition('. ')[0].rstrip('.')}." if text else ""


def every_page() -> dict[str, PageKeys]:
    """Every page that has keys, by its name, in their order; all of them are loaded for it."""
    for module in MODULES:
        import_module(f"crewdesk.screens.{module}")
    order = sorted(_NAMED, key=lambda page: MODULES.index(_MODULE_OF[page]))
    return {page: _NAMED[page] for page in order}


def usual_keys(id_: str) -> tuple[str, ...]:
    """The usual keys of an action, by the id of its bindings; its page is loaded."""
    page, _, name = id_.partition(".")
    actions = _NAMED[page].actions if page in _NAMED else ()
    return next((one.keys for one in actions if one.name == name), ())


def key_words(key: str) -> str:
    """A key as it stands on the keyboard: ``Ctrl+s``, ``F3``, ``a``."""
    *held, last = key.split("+")
    last = _WORDS.get(last, last if len(last) == 1 else last.capitalize())
    return "+".join((*(one.capitalize() for one in held), last))


def short_key(key: str) -> str:
    """A key as it stands in the lowest line, where room is scarce: ``^s``, ``F3``, ``a``."""
    return key_words(key).replace("Ctrl+", "^")


def key_of(id_: str, keymap: Mapping[str, str], platform: str) -> str:
    """Return the key by which texts name an action, as Textual names it, or "": the first that
    its user gave it, otherwise the first usual one that the system lets through."""
    if own := keymap.get(id_):
        return own.split(",")[0]
    return first_usable(usual_keys(id_), platform)


def with_keys(text: str, page: str, key: Callable[[str], str]) -> str:
    """Put the keys of actions into a text in which the actions stand in braces: ``{tick}`` is
    one of the page that is called `page`, ``{everywhere.help}`` one of another. `key` gives
    the key of an action."""

    def told(match: re.Match[str]) -> str:
        id_ = match[1] if "." in match[1] else f"{name_of(page)}.{match[1]}"
        named = key(id_)
        return key_words(named) if named else match[0]

    return re.sub(r"\{([a-z0-9-]+(?:\.[a-z0-9-]+)?)\}", told, text)

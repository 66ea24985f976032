"""What is private in Textual is used in one file, and was seen with the versions named here."""

import ast
import re
from importlib import import_module
from importlib.metadata import version
from inspect import getmembers, isclass
from pathlib import Path
from pkgutil import walk_packages

import textual

import crewdesk.screens
from crewdesk.screens.parts import terminal

SEEN = ("8.2.8",)
"""Versions of Textual that the tests passed with. With another one run tests/terminal and
tests/hostile, see that `terminal.py` still does what it says, and name it here."""
FENCED = Path(terminal.__file__)
SCREENS = Path(crewdesk.screens.__path__[0])


def test_this_version_was_seen() -> None:
    assert version("textual") in SEEN


def test_one_file_alone_uses_what_is_private_in_textual() -> None:
    private = _private()
    assert {"_handle_exception", "_mounted_event", "_parent", "_exit"} <= private
    files = {one: ast.parse(one.read_text("utf-8")) for one in SCREENS.rglob("*.py")}
    ours = {name for file, tree in files.items() if file != FENCED for name in _own(tree)}
    assert not ours & {"_handle_exception", "_mounted_event", "_parent", "_exit"}
    assert _uses(ast.parse("def go(self): self._exit"), private - ours)
    assert _uses(ast.parse("from textual._callback import invoke"), set())
    assert {file for file, tree in files.items() if _uses(tree, private - ours)} == {FENCED}


def test_no_other_class_overrides_what_is_private_in_textual() -> None:
    over = set()
    for module in walk_packages(crewdesk.screens.__path__, "crewdesk.screens."):
        for _, kind in getmembers(import_module(module.name), isclass):
            if kind.__module__ == module.name:
                over |= {(kind.__module__, name) for name in _overridden(kind)}
    assert {name for _, name in over} >= {"_handle_exception", "_value"}
    assert {module for module, _ in over} == {terminal.__name__}


def _overridden(kind: type) -> set[str]:
    """The private names of a class that one of Textual's under it has too."""
    below = [one for one in kind.__mro__[1:] if one.__module__.startswith("textual.")]
    made = ("_abc_impl", "_inherit_css", "_reactives", "_computes", "_merged_bindings")
    made += ("_decorated_handlers", "_css_type_name", "_css_type_names", "_inherit_bindings")
    made += ("_inherit_component_classes", "_sort_order")
    names = {name for name in vars(kind) if re.match(r"_[a-z]", name)}
    return {name for name in names - set(made) if any(name in vars(one) for one in below)}


def _private() -> set[str]:
    """Names of Textual's private methods and attributes; `_replace` is a named tuple's."""
    every = (one.read_text("utf-8") for one in Path(textual.__path__[0]).rglob("*.py"))
    found = {name for text in every for name in re.findall(r"(?:self\.|def )(_[a-z]\w*)", text)}
    return found - {"_replace"}


def _own(tree: ast.Module) -> set[str]:
    """The names that a file defines or sets."""
    functions = (ast.FunctionDef, ast.AsyncFunctionDef)
    names = {one.name for one in ast.walk(tree) if isinstance(one, functions)}
    for one in ast.walk(tree):
        if isinstance(one, ast.Name | ast.Attribute) and isinstance(one.ctx, ast.Store):
            names.add(one.id if isinstance(one, ast.Name) else one.attr)
    return names


def _uses(tree: ast.Module, private: set[str]) -> bool:
    """Whether a file takes something private from Textual: by an import, or an attribute."""
    return any(
        (isinstance(one, ast.ImportFrom) and (one.module or "").startswith("textual._"))
        or (isinstance(one, ast.Attribute) and one.attr in private)
        for one in ast.walk(tree)
    )

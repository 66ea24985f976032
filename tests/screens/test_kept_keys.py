"""Keys that a terminal, a system or a laptop keeps: every action has another, which is named.

Sources. Windows Terminal: `keybindings` in src/cascadia/TerminalSettingsModel/defaults.json of
github.com/microsoft/terminal (commit 0175639), read for this test, but for Ctrl+C and Ctrl+V (its
settings.json for new users, from memory). macOS, from memory: Apple Support, "Mac keyboard
shortcuts" (Control with the arrows is Mission Control's, F11 shows the desktop, Fn-Delete is Del,
Fn with the arrows Page Up, Page Down, Home and End), "Use the function keys on your Mac" (the top
row is for brightness and sound, Fn makes F-keys of it), and the Terminal User Guide's "Keyboard
shortcuts in Terminal" (Page Up, Page Down, Home and End scroll, Control-Tab turns tabs).
"""

import pytest
from textual.widgets import Input

from crewdesk.screens.help import HelpSheet
from crewdesk.screens.look_up import LookUp
from crewdesk.screens.parts.actions import AREAS, KEPT, LAPTOP, first_usable, key_of, key_words
from crewdesk.screens.parts.keys_line import KeysLine
from crewdesk.screens.piece.ceiling import CeilingPage
from crewdesk.screens.piece.one_number import OneNumberPage
from crewdesk.screens.piece.piece import PiecePage
from crewdesk.screens.run_sheet.run_sheet import RunSheetPage

F_KEYS = {f"f{number}" for number in range(1, 13)}
LACKING_ON_A_LAPTOP = F_KEYS | {"delete"}
WINDOWS_TERMINAL = {
    "alt+f4",
    "alt+enter",
    "f11",
    "ctrl+shift+space",
    "ctrl+comma",
    "ctrl+shift+f",
    "ctrl+shift+p",
    "alt+space",
    "ctrl+shift+t",
    "ctrl+shift+n",
    "ctrl+shift+d",
    "ctrl+tab",
    "ctrl+shift+tab",
    "ctrl+shift+w",
    "alt+shift+down",
    "alt+shift+left",
    "alt+shift+right",
    "alt+shift+up",
    "alt+down",
    "alt+left",
    "alt+right",
    "alt+up",
    "ctrl+shift+c",
    "ctrl+insert",
    "ctrl+shift+v",
    "shift+insert",
    "ctrl+shift+a",
    "ctrl+shift+m",
    "ctrl+shift+down",
    "ctrl+shift+pagedown",
    "ctrl+shift+up",
    "ctrl+shift+pageup",
    "ctrl+shift+home",
    "ctrl+shift+end",
    "ctrl+plus",
    "ctrl+minus",
    "ctrl+0",
    "ctrl+c",
    "ctrl+v",
}
"""Named as Textual does. Enter is left out: it copies only while text is selected."""
MACOS = {
    "ctrl+up",
    "ctrl+down",
    "ctrl+left",
    "ctrl+right",
    "pageup",
    "pagedown",
    "home",
    "end",
    "ctrl+tab",
    "ctrl+shift+tab",
    "alt+up",
    "alt+down",
    "alt+left",
    "alt+right",
}
IN_WAY = {"win32": WINDOWS_TERMINAL | LACKING_ON_A_LAPTOP, "darwin": MACOS | LACKING_ON_A_LAPTOP}
SYSTEMS = sorted(IN_WAY)
SAME_IN_A_TERMINAL = {"ctrl+m", "ctrl+i", "ctrl+h", "ctrl+j", "ctrl+left_square_bracket"}
"""Enter, Tab, Backspace and Esc: ASCII's control characters (ECMA-48)."""


@pytest.mark.parametrize("system", SYSTEMS)
def test_what_is_kept_is_known(system: str) -> None:
    assert IN_WAY[system] <= KEPT[system]
    assert LACKING_ON_A_LAPTOP == LAPTOP


@pytest.mark.parametrize("system", SYSTEMS)
def test_every_action_has_a_key_that_works_there_and_texts_name_it(system: str) -> None:
    without = {
        one.id: one.keys
        for page in AREAS.values()
        for one in page.actions
        if not set(one.keys) - IN_WAY[system] - SAME_IN_A_TERMINAL
    }
    assert without == {}
    for page in AREAS.values():
        for one in page.actions:
            named = key_of(one.id, {}, system)
            assert named in one.keys
            assert named not in IN_WAY[system]


@pytest.mark.parametrize("system", SYSTEMS)
def test_keys_without_a_name_have_another_key_too(system: str) -> None:
    """What scrolls up goes with what scrolls down, which has a name."""
    for page in (PiecePage, CeilingPage):
        keys: dict[str, set[str]] = {}
        for binding in page.BINDINGS:
            keys.setdefault(binding.action, set()).add(binding.key)
        for action, bound in keys.items():
            assert bound - IN_WAY[system], (page, action)


def test_elsewhere_the_first_key_is_named_and_one_s_own_key_always() -> None:
    assert key_of("everywhere.help", {}, "linux") == "f1"
    assert key_of("everywhere.help", {}, "darwin") == "ctrl+k"
    assert key_of("everywhere.help", {"everywhere.help": "f12,ctrl+g"}, "darwin") == "f12"
    assert first_usable((), "darwin") == ""
    assert first_usable(("f5", "delete"), "darwin") == "f5"


@pytest.mark.parametrize("system", [*SYSTEMS, "linux"])
async def test_the_footer_names_keys_that_work_there(start_app, hill: str, system: str) -> None:
    app = start_app(hill)
    app.platform = system
    usual = {
        "linux": (
            "F1 Help",
            "F2 Clock",
            "F3 Steps",
            "F4 Check off",
            "F5 Pair",
            "F10 Gaps",
            "PgDn Next",
        ),
        "win32": (
            "Ctrl+k Help",
            "Ctrl+d Clock",
            "# Steps",
            "* Check off",
            "& Pair",
            "Ctrl+g Gaps",
            "PgDn Next",
        ),
        "darwin": (
            "Ctrl+k Help",
            "Ctrl+d Clock",
            "# Steps",
            "* Check off",
            "& Pair",
            "Ctrl+g Gaps",
            "> Next",
        ),
    }
    async with app.run_test(size=(200, 40)) as pilot:
        await pilot.pause()
        await pilot.press("enter")
        await pilot.pause()
        assert isinstance(app.screen, PiecePage)
        footer = app.screen.query_one(KeysLine)
        told = str(footer.render())
        for words in usual[system]:
            assert f" {words} " in told
            assert told.count(words.partition(" ")[2]) == 1
        shown = {key_words(key) for key in IN_WAY.get(system, ())}
        assert not {one.shown for one in footer._keys} & shown


async def test_the_second_keys_do_what_the_first_do(start_app, hill: str) -> None:
    """Also where a length is typed, whose sign none of them is."""
    app = start_app(hill)
    async with app.run_test(size=(120, 40)) as pilot:
        await pilot.pause()
        await pilot.press("enter")
        await pilot.pause()
        page = app.screen
        assert isinstance(page, PiecePage)
        assert isinstance(app.focused, Input)
        first = page.spot
        await pilot.press("greater_than_sign")
        assert page.spot != first
        await pilot.press("less_than_sign")
        assert page.spot == first
        await pilot.press("ampersand")
        assert page.spot != first
        await pilot.press("ampersand")
        await pilot.press("number_sign")
        await pilot.pause()
        assert app.screen is not page
        await pilot.press("escape")
        await pilot.press("asterisk")
        assert "checked off" in app.told
        assert app.focused.value == ""
        await pilot.press("equals_sign")
        await pilot.pause()
        assert app.screen is not page
        await pilot.press("escape", "ctrl+k")
        await pilot.pause()
        assert isinstance(app.screen, HelpSheet)
        await pilot.press("ctrl+k")
        await pilot.pause()
        assert app.screen is page


async def test_second_keys_of_other_pages(start_app, hill: str) -> None:
    app = start_app(hill)
    async with app.run_test(size=(120, 40)) as pilot:
        await pilot.pause()
        assert isinstance(app.screen, RunSheetPage)
        await pilot.press("ctrl+l")
        await pilot.pause()
        look_up = app.screen
        assert isinstance(look_up, LookUp)
        at = look_up._at
        await pilot.press("tab")
        assert look_up._at != at
        await pilot.press("shift+tab")
        assert look_up._at == at
        await pilot.press("escape", "g")
        await pilot.pause()
        page = app.screen
        assert isinstance(page, OneNumberPage)
        beam = page.spot.beam
        await pilot.press("greater_than_sign")
        assert page.spot.beam != beam
        await pilot.press("number_sign")
        await pilot.pause()
        assert app.screen is not page

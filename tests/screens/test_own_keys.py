"""Keys of one's own: what the file may say, what it may not, and that they work."""

import json
import string
import tomllib

import pytest
from textual._xterm_parser import XTermParser
from textual.widgets import Static

from crewdesk.cli import main
from crewdesk.screens.parts.actions import AREAS, key_words
from crewdesk.screens.parts.ask import Choose
from crewdesk.screens.parts.keys_line import Key, KeysLine, fitting
from crewdesk.screens.parts.own_keys import FILE, read_own_keys


@pytest.fixture
def read(tmp_path):
    """Reads a text as the file of one's own keys."""

    def reading(text: str):
        (tmp_path / FILE).write_text(text)
        return read_own_keys(tmp_path / FILE)

    return reading


def test_every_action_has_a_name_of_its_own_and_no_two_share_a_key(read, tmp_path, capsys) -> None:
    """What the command prints is what the file takes: read back it changes nothing."""
    assert main(["keys", "--data", str(tmp_path)]) == 0
    printed = capsys.readouterr().out
    own = read(printed)
    assert (own.complaints, own.keymap) == ((), {})
    told = tomllib.loads(printed)
    for page in AREAS.values():
        names = [one.name for one in page.actions]
        assert len(set(names)) == len(names)
        assert list(told[page.name]) == names
        for one in page.actions:
            keys = told[page.name][one.name]
            assert ([keys] if isinstance(keys, str) else keys) == list(one.keys)


def test_keys_as_people_spell_them(read) -> None:
    own = read('[run-sheet]\ntick = ["t", "%", "Ctrl+G"]\nstages = ";"\nmoney = "PgDn"\n')
    assert own.keymap == {
        "run-sheet.stages": "semicolon",
        "run-sheet.tick": "t,percent_sign,ctrl+g",
    }
    assert own.complaints == ("keys.toml: run-sheet money can't be pagedown, which moves about.",)


@pytest.mark.parametrize("sign", string.punctuation)
def test_a_sign_is_the_key_that_the_terminal_sends(read, sign: str) -> None:
    """By what Textual makes of the sign when it comes in."""
    (key,) = XTermParser().feed(sign)
    own = read(f"[jobs]\naccounts = {json.dumps(sign)}\n")
    assert own.keymap == {"jobs.accounts": key.key}
    assert key_words(key.key) == sign


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("[run-sheet", "isn't TOML"),
        (
            "[shed]\ntick = 't'",
            "has the unknown page 'shed'. It can have everywhere, find, look-up, jobs",
        ),
        ("tick = 't'", "has the unknown page 'tick'. It"),
        ("[run-sheet]\ntik = 't'", "has no 'tik' on run-sheet. It has tick, batch"),
        ("[run-sheet]\ntick = 3", 'must be text, like "t" or'),
        ("[run-sheet]\ntick = []", 'must be text, like "t" or'),
        ("[run-sheet]\ntick = 'hyper+t'", "'hyper+t' isn't a key. Write it like t, f11"),
        ("[run-sheet]\ntick = 'ctrl++'", "'ctrl++' isn't a key"),
        ("[run-sheet]\ntick = ''", "run-sheet tick: '' isn't a key"),
        ("[run-sheet]\ntick = 'ctrl+m'", "a terminal takes that for Enter"),
        ("[piece]\ntick = 't'", "can't be t, because you type there. Use a key like f11"),
        ("[everywhere]\nundo = 'u'", "can't be u, because you type there"),
        (
            "[run-sheet]\ntick = 'b'",
            "gives b to run-sheet tick, but it is the key of run-sheet batch",
        ),
        (
            "[everywhere]\nundo = 'f4'",
            "gives f4 to everywhere undo, but it is the key of piece tick",
        ),
        ("[piece]\ntick = 'f1'", "gives f1 to piece tick, but it is the key of everywhere help"),
    ],
)
def test_what_will_not_do_is_left_out_and_told_in_a_sentence(read, text: str, says: str) -> None:
    own = read(text)
    (told,) = own.complaints
    assert says in told
    assert told.endswith(".")
    assert own.keymap == {}


def test_two_keys_can_be_swapped_and_a_bad_line_spares_the_others(read) -> None:
    own = read('[run-sheet]\ntick = "b"\nbatch = "space"\nnonsense = "n"\n')
    assert own.keymap == {"run-sheet.tick": "b", "run-sheet.batch": "space"}
    assert len(own.complaints) == 1


async def test_they_work_and_are_shown(start_app, desk, hill: str, kept) -> None:
    keys = '[run-sheet]\ntick = "b"\nbatch = "y"\nblock = "up"\n[everywhere]\nundo = "f12"\n'
    (desk.folder / FILE).write_text(keys)
    app = start_app(hill)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        shown = str(app.screen.query_one(KeysLine).render())
        assert shown.startswith(" b Check off  y Batch  Enter Piece ")  # where they always stand
        assert " F12 Undo " in shown
        await pilot.press("b")
        assert "Saved: checked off 'Rip to width'" in app.told
        assert app.told.endswith("Undo: F12")
        beam = kept(hill).beams[0]
        assert beam.pieces["A"].steps
        await pilot.press("f12")
        assert "Undone: checked off" in app.told
        assert not kept(hill).beams[0].pieces["A"].steps
        await pilot.press("y")
        await pilot.pause()
        assert isinstance(app.screen, Choose)


async def test_what_can_be_taken_back_stays_in_sight(start_app, hill: str) -> None:
    app = start_app(hill)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("right", "space")
        assert app.told.startswith("Not checked off: the reason is above. Press o to override,")
        here = str(app.screen.query_one("#here", Static).render())
        assert "'Rip to width' isn't" in here
        await pilot.press("left", "space")
        assert app.told.endswith("Undo: Ctrl+z")
        await pilot.press("f7")
        await pilot.pause()
        assert "Ctrl+z" not in app.told
        await pilot.press("escape", "right", "enter")
        await pilot.pause()
        assert app.told.startswith("Ctrl+z undoes: checked off 'Rip to width' on Great")
        shown = str(app.screen.query_one(KeysLine).render())
        assert " Ctrl+z Undo " in shown
        assert len(shown.rstrip()) <= 80


def test_where_not_all_keys_fit_undo_and_help_stay() -> None:
    keys = [Key("", key, key, "words") for key in "abcdef"]
    keys += [Key(f"everywhere.{name}", "f1", "f1", name) for name in ("help", "clock", "undo")]
    assert fitting(keys, 200) == keys
    assert [one.words for one in fitting(keys, 80)][-2:] == ["help", "undo"]
    assert [one.key for one in fitting(keys, 40)][:2] == ["a", "b"]
    assert {one.words for one in fitting(keys, 5)} == {"help", "undo"}

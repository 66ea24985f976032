"""A list of things is data: the example in DEVELOPERS.md is one, and all say what they must."""

import inspect
from pathlib import Path

import crewdesk
from crewdesk.screens.business.lists import CustomersPage
from crewdesk.screens.hours.lists import OtherWorkPage
from crewdesk.screens.money.money import LEAVES
from crewdesk.screens.parts.actions import AREAS
from crewdesk.screens.parts.list_page import ThingList

GUIDE = (Path(crewdesk.__file__).parent.parent / "DEVELOPERS.md").read_text(encoding="utf-8")


def test_the_example_of_a_list_is_one() -> None:
    example = GUIDE.partition("## Add a list, or a question")[2].partition("```python\n")[2]
    first, _, last = example.partition("\n```")[0].partition("    ...\n")
    code = inspect.getsource(OtherWorkPage)
    assert code.startswith(first.rstrip())
    assert code.rstrip().endswith(last.strip())


def test_every_list_says_what_its_keys_do() -> None:
    lists = [*ThingList.__subclasses__(), *LEAVES]
    assert CustomersPage.__base__ in lists
    for one in LEAVES:
        assert all(hasattr(one, action) for action in one.CAN), one
    can = {f"leaf_act('{action}')" for one in LEAVES for action in one.CAN}
    assert can == {a.does for a in AREAS["money"].actions if a.does.startswith("leaf_act")}

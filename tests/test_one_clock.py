"""Nothing but `crewdesk.store.machine_clock` asks for the time, and no day is taken beside
`crewdesk.job.time.today`: held to by reading the source."""

import ast
import re
from collections.abc import Iterable, Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
SOURCE = sorted((ROOT / "crewdesk").rglob("*.py"))
TESTS = [
    path
    for path in sorted((ROOT / "tests").rglob("*.py"))
    if not {"bench", "terminal"} & set(path.relative_to(ROOT).parts)
]

ASKS = {
    ("datetime", "now"),
    ("datetime", "today"),
    ("datetime", "utcnow"),
    ("datetime", "fromtimestamp"),
    ("date", "today"),
    ("date", "fromtimestamp"),
    ("time", "time"),
    ("time", "localtime"),
    ("time", "ctime"),
    ("time", "strftime"),
    ("tz", "tzlocal"),
}
"""What asks the machine for the time of day, or for its zone."""
MAY_ASK = {"crewdesk/store/machine_clock.py", "tests/store/test_machine_clock.py"}

OF_ENTRIES = {
    "crewdesk/job/time/logged.py",
    "crewdesk/job/time/typed_entry.py",
    "crewdesk/paper/text/hours.py",
    "crewdesk/screens/find.py",
    "crewdesk/screens/hours/clock_watch.py",
    "crewdesk/screens/hours/hours.py",
    "crewdesk/screens/hours/rows.py",
}
"""Where the day of a time entry is taken, by the clocks of its job's zone."""
OF_READING = {"dates", "durations", "read_time", "rounding"}
"""What in `crewdesk/trade/books` reads days and times that are typed, or sums those of entries."""


def _calls(path: Path, names: Iterable[str]) -> Iterator[ast.Call]:
    """The calls in a file, where anything with one of these names is called in it."""
    text = path.read_text("utf-8")
    if re.search(rf"\b({'|'.join(names)})\s*\)*\s*\(", text):
        yield from (one for one in ast.walk(ast.parse(text)) if isinstance(one, ast.Call))


def _asking(path: Path) -> list[str]:
    found = []
    for call in _calls(path, {"astimezone", *(name for _, name in ASKS)}):
        function = call.func
        if isinstance(function, ast.Name) and function.id == "tzlocal":
            found.append(f"{path.relative_to(ROOT)}:{call.lineno} tzlocal()")
        if not isinstance(function, ast.Attribute):
            continue
        of = function.value
        owner = (
            of.id if isinstance(of, ast.Name) else of.attr if isinstance(of, ast.Attribute) else ""
        )
        bare = function.attr == "astimezone" and not call.args and not call.keywords
        if (owner, function.attr) in ASKS or bare:
            found.append(f"{path.relative_to(ROOT)}:{call.lineno} {owner}.{function.attr}()")
    return found


@pytest.mark.parametrize("files", [SOURCE, TESTS], ids=["crewdesk", "tests"])
def test_nothing_else_asks_the_machine_for_the_time(files: list[Path]) -> None:
    assert len(files) > 60
    asking = [one for path in files for one in _asking(path)]
    assert [one for one in asking if one.partition(":")[0] not in MAY_ASK] == []
    assert asking, "the one place that may ask was not found, so this looks at nothing"


def test_no_day_is_taken_from_a_moment_beside_today() -> None:
    """`now.date()` is the day on whatever clock `now` was read from."""
    taken = {
        str(path.relative_to(ROOT))
        for path in SOURCE
        for call in _calls(path, ["date"])
        if isinstance(call.func, ast.Attribute) and call.func.attr == "date" and not call.args
    }
    assert "crewdesk/job/time/today.py" in taken
    reading = {f"crewdesk/trade/books/{name}.py" for name in OF_READING}
    assert taken - reading - OF_ENTRIES == {"crewdesk/job/time/today.py"}

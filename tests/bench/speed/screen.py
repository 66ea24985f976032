"""The run sheet of a long job in a terminal: first paint, keys, memory."""

from pathlib import Path
from statistics import median, quantiles

from tests.bench.speed.figure import Figure
from tests.bench.speed.jobs import MARK, long_job
from tests.bench.speed.terminal import Terminal

UP, DOWN = "\x1b[A", "\x1b[B"
HELD_EVERY = 1 / 30
"""Seconds between the repeats of a key held down, as keyboards send them."""


def screen(folder: Path, *, times: int = 7, keys: int = 100, held: int = 90) -> list[Figure]:
    """The figures of the run sheet with 200 beams."""
    _, id_ = long_job(folder / "long")
    sheet = ("-m", "tests.bench.speed.sheet_app", str(folder / "long"), id_)
    empty = ("-m", "tests.bench.speed.empty_app")
    paints: dict[str, list[float]] = {"ours": [], "plain": []}
    memory: dict[str, list[float]] = {"ours": [], "plain": []}
    for _ in range(times):
        for name, words in (("ours", sheet), ("plain", empty)):
            terminal = Terminal(*words)
            paints[name].append(terminal.until(MARK))
            terminal.rest(1)
            memory[name].append(terminal.memory)
            terminal.close()
    terminal = Terminal(*sheet)
    terminal.until(MARK)
    whole = terminal.rest(1.5)
    each, sent = [], []
    for number in range(keys):
        begun = terminal.press(DOWN if number % 4 else UP)
        ended, count = terminal.painted()
        each.append((ended - begun) * 1000)
        sent.append(count)
    for _ in range(held):
        last = terminal.press(DOWN)
        terminal.rest(HELD_EVERY)
    last = terminal.press(DOWN)
    ended, _ = terminal.painted()
    terminal.close()
    return [
        Figure(
            "first paint with 200 beams / of an empty Textual app",
            median(paints["ours"]),
            median(paints["plain"]),
            1.5,
        ),
        Figure(
            "key to painted screen, 95 of 100 (most of them scroll)",
            quantiles(each, n=20)[-1],
            None,
            50,
        ),
        Figure("key held: last repeat to painted screen", (ended - last) * 1000, None, 50),
        Figure(
            "bytes sent for one key that does not scroll / for all", min(sent), whole, 0.25, "B"
        ),
        Figure(
            "memory with 200 beams / of an empty Textual app",
            median(memory["ours"]),
            median(memory["plain"]),
            1.5,
            "MB",
        ),
    ]

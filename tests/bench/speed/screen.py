"""The run sheet of a long job in a terminal: first paint, keys, memory."""

import time
from pathlib import Path
from statistics import median, quantiles

from tests.bench.speed.figure import Figure
from tests.bench.speed.jobs import MARK, long_job
from tests.bench.speed.terminal import Terminal

DOWN = "\x1b[B"
HELD_EVERY = 1 / 30
"""Seconds between the repeats of a key held down, as keyboards send them."""


def screen(folder: Path, *, times: int = 7, keys: int = 100, held: int = 90) -> list[Figure]:
    """The figures of the run sheet with 200 beams."""
    long_job(folder / "long")
    sheet = ("-m", "crewdesk", "--data", str(folder / "long"))
    empty = ("-m", "tests.bench.speed.empty_app")
    ours, plain, our_memory, plain_memory = [], [], [], []
    for _ in range(times):
        for words, paints, memory in ((sheet, ours, our_memory), (empty, plain, plain_memory)):
            terminal = Terminal(*words)
            paints.append(terminal.until(MARK))
            terminal.quiet(0.5)
            if words is sheet:
                terminal.press("\r")
                terminal.quiet(0.7)
            memory.append(terminal.memory)
            terminal.close()
    terminal = Terminal(*sheet)
    terminal.until(MARK)
    terminal.quiet(0.5)
    terminal.press("\r")
    terminal.until("Room")
    _, whole = terminal.quiet(0.7)
    each, sent = [], []
    for _ in range(keys):
        begun = terminal.press(DOWN)
        ended, count = terminal.quiet(0.08)
        each.append((ended - begun) * 1000)
        sent.append(count)
    begun = time.perf_counter()
    for number in range(held):
        while time.perf_counter() < begun + number * HELD_EVERY:
            terminal.quiet(0.001)
        last = terminal.press(DOWN)
    ended, _ = terminal.quiet(0.2)
    terminal.close()
    return [
        Figure(
            "first paint with 200 beams / of an empty Textual app", median(ours), median(plain), 1.5
        ),
        Figure("key to painted screen, 95 of 100", quantiles(each, n=20)[-1], None, 50),
        Figure("key held: last repeat to painted screen", (ended - last) * 1000, None, 100),
        Figure("bytes sent for one key / for the whole screen", median(sent), whole, 0.25, "B"),
        Figure(
            "memory with 200 beams / of an empty Textual app",
            median(our_memory),
            median(plain_memory),
            1.5,
            "MB",
        ),
    ]

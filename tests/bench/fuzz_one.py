"""One reader under atheris: ``python -m tests.bench.fuzz_one NAME RUNS``.

It prints how many inputs it gave, and leaves with another status than 0 where anything came
out of the reader but what it may refuse with.
"""

import sys
from pathlib import Path

import atheris

with atheris.instrument_imports(include=["crewdesk"]):
    from tests.fuzz import readers

SEEDS = {
    "lengths": ("12' 3-5/16\"", "147.3125", "3738 mm", "6/12", "26.5deg", "3/4 x 11-1/4"),
    "times": ("yesterday 2pm for 1h20", "7:30-11:45", "2026-03-08 14:00", "PT2H30M", "mar 8"),
    "money": ("1,250.00", "$85 per hour", "4.50/ft", "7.5 %", "3/4", ".50"),
    "imports": ("{}",),
}


def main() -> None:
    """Give the reader so many inputs."""
    name, runs = sys.argv[1], int(sys.argv[2])
    given = 0

    def one(data: bytes) -> None:
        nonlocal given
        given += 1
        if name == "imports":
            readers.imports(data)
        else:
            readers.TEXTS[name](readers.text_of(data))
        if given == runs:
            print(f"given {given}", flush=True)

    folder = sys.argv[3]
    for number, seed in enumerate(SEEDS[name]):
        Path(folder, f"{number}").write_bytes(b"\x01" + seed.encode())
    atheris.Setup(
        [sys.argv[0], f"-runs={runs}", "-max_len=96", "-seed=1", "-verbosity=0", folder], one
    )
    atheris.Fuzz()


if __name__ == "__main__":
    main()

"""``python -m tests.bench.speed``: every figure with its bar, in one table."""

import sys
import tempfile
from pathlib import Path

from tests.bench.speed.figure import HEAD
from tests.bench.speed.growing import growing
from tests.bench.speed.listing import listing
from tests.bench.speed.saving import saving
from tests.bench.speed.screen import screen
from tests.bench.speed.starting import starting

if __name__ == "__main__":
    print(HEAD)
    held = True
    with tempfile.TemporaryDirectory() as folder:
        for measure in (starting, screen, saving, listing, growing):
            for figure in measure(Path(folder)):
                held &= figure.holds
                print(figure.line, flush=True)
    sys.exit(not held)

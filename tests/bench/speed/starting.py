"""A command that only prints, whole process, against Python reading json."""

import os
import resource
import subprocess
import sys
from pathlib import Path
from statistics import median

from tests.bench.speed.figure import Figure

ROOT = Path(__file__).parents[3]
SAMPLE = ROOT / "sample_data" / "tamarack-bend.json"


def starting(folder: Path, *, times: int = 15) -> list[Figure]:
    """`crewdesk cutlist` of the sample job, in processor time of the whole process."""
    data = ["--data", str(folder / "sample")]
    door = "import sys; from crewdesk.__main__ import door; sys.exit(door())"
    _spent([sys.executable, "-c", door, *data, "import", str(SAMPLE)])
    ours = [sys.executable, "-c", door, *data, "cutlist", "tamarack"]
    plain = [sys.executable, "-c", "import json"]
    _spent(ours)
    pairs = [(_spent(ours), _spent(plain)) for _ in range(times)]
    return [
        Figure(
            'crewdesk cutlist / python -c "import json"',
            median(one for one, _ in pairs) * 1000,
            median(one for _, one in pairs) * 1000,
            5,
        )
    ]


def _spent(command: list[str]) -> float:
    """Seconds of processor time that a command took, user and system."""
    env = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL, env=env, cwd=ROOT)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime

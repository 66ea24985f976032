"""What reading a time loads."""

import subprocess
import sys
from pathlib import Path

import crewdesk.trade.books

_FOLDER = Path(crewdesk.trade.books.__file__).parent


def test_dateutil_is_loaded_only_for_a_day_that_needs_it():
    code = """
import sys
from datetime import UTC, datetime
from crewdesk.trade.books.read_time import read_time
now = datetime(2026, 3, 9, 18, tzinfo=UTC)
read_time("2026-03-08 7:30-11:45", now, UTC)
print("dateutil" in sys.modules)
read_time("mar 8 7:30-11:45", now, UTC)
print("dateutil" in sys.modules)
"""
    done = subprocess.run(
        [sys.executable, "-c", code],
        cwd=_FOLDER.parents[2],
        capture_output=True,
        text=True,
        check=True,
    )
    assert done.stdout.split() == ["False", "True"]

"""Python under faketime: loaded by each Python that `tests.bench.any_hour` starts.

libfaketime 0.9.10 turns an absolute `clock_nanosleep` on the monotonic clock, by which Python 3.11
and newer sleep, into one with an invalid argument, though that clock is not to be faked.
"""

import select
import time


def _sleep(seconds: float) -> None:
    """Sleep as `time.sleep` does, by another call of the system."""
    if seconds < 0:
        raise ValueError("sleep length must be non-negative")
    select.select((), (), (), seconds)


time.sleep = _sleep

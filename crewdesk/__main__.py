"""`python -m crewdesk` and the `crewdesk` command: the door, as a process of its own."""

import gc
import sys

from crewdesk.cli import main


def door() -> int:
    """Run one command; on the way out Python does not look for garbage once more."""
    status = main()
    gc.freeze()
    return status


if __name__ == "__main__":
    sys.exit(door())

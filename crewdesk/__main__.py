"""`python -m crewdesk` and the `crewdesk` command: the door, as a process of its own."""

import gc
import sys

from crewdesk.cli import main
from crewdesk.commands.streams import use_utf8


def door() -> int:
    """Run one command; on the way out Python does not look for garbage once more."""
    use_utf8()
    status = main()
    gc.freeze()
    return status


if __name__ == "__main__":
    sys.exit(door())

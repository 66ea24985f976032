"""`python -m crewdesk` and the `crewdesk` command: the entry point as a process."""

import gc
import sys

from crewdesk.cli import main
from crewdesk.commands.streams import use_utf8


def door() -> int:
    """Run one command; return its exit status."""
    gc.disable()  # a command ends before garbage matters; the screens enable it once drawn
    use_utf8()
    status = main()
    gc.freeze()  # or Python would collect garbage once more at exit, enabled or not
    return status


if __name__ == "__main__":
    sys.exit(door())

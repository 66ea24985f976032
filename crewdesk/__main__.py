"""`python -m crewdesk` and the `crewdesk` command: the door, as a process of its own."""

import gc
import sys

from crewdesk.cli import main
from crewdesk.commands.streams import use_utf8


def door() -> int:
    """Run one command; gives its exit status."""
    gc.disable()  # a command is over before garbage matters; the screens enable it once drawn
    use_utf8()
    status = main()
    gc.freeze()  # or Python would look for garbage once more on its way out, enabled or not
    return status


if __name__ == "__main__":
    sys.exit(door())

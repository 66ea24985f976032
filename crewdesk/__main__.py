"""`python -m crewdesk` is the same door as the `crewdesk` command."""

import sys

from crewdesk.cli import main

if __name__ == "__main__":
    sys.exit(main())

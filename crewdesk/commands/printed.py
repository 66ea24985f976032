"""What a command prints: lines, or one JSON object."""

import json
import sys
from typing import Any

from crewdesk.job.refused import Refused
from crewdesk.paper.plain import plain


def in_json(values: dict[str, Any]) -> str:
    """One JSON object, as it is printed."""
    return json.dumps(values) + "\n"


def in_lines(*lines: str) -> str:
    """Lines as they are printed."""
    return "\n".join(map(plain, lines)) + "\n"


def put_out(text: str) -> None:
    """Print, and make sure that it went out; what the terminal can't show becomes a `?`."""
    if sys.stdout is None:
        raise Refused("There is nowhere to print to.")
    coded = sys.stdout.encoding or "utf-8"
    sys.stdout.write(text.encode(coded, "replace").decode(coded))
    sys.stdout.flush()

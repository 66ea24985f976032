"""Runs crewdesk's commands one after the other in one Windows program, for Python starts slowly
under wine. Each line of stdin is a JSON object, and so is each of stdout; bytes are in base64.

A command gets streams as Windows makes them for pipes: a code page, and CRLF for ends of lines.
"""

import io
import json
import os
import signal
import sys
from base64 import b64decode, b64encode


def command(words: list[str], given: bytes) -> tuple[int, bytes]:
    """Run a command as a program of its own would; return its status and what it printed."""
    from crewdesk.__main__ import door

    printed = io.BytesIO()
    kept = sys.argv, sys.stdin, sys.stdout, sys.stderr
    sys.argv = ["crewdesk", *words]
    sys.stdin = io.TextIOWrapper(io.BytesIO(given), encoding="cp1252")
    sys.stdout = io.TextIOWrapper(printed, encoding="cp1252", write_through=True)
    sys.stderr = io.TextIOWrapper(printed, encoding="cp1252", write_through=True)
    try:
        status = door()
    except SystemExit as left:
        status = left.code if isinstance(left.code, int) else 1
    finally:
        sys.stdout.flush()
        sys.stderr.flush()
        data = printed.getvalue()
        sys.stdout.detach()
        sys.stderr.detach()
        sys.argv, sys.stdin, sys.stdout, sys.stderr = kept
    return status, data


def answer(asked: dict) -> dict:
    """Do what one line asks."""
    if "kill" in asked:
        os.kill(asked["kill"], signal.SIGTERM)  # TerminateProcess, as the task manager does
        return {}
    status, printed = command(asked["words"], b64decode(asked["given"]))
    return {"status": status, "printed": b64encode(printed).decode()}


if __name__ == "__main__":
    lines, out = sys.stdin.buffer, sys.stdout.buffer
    for line in lines:
        out.write(json.dumps(answer(json.loads(line))).encode() + b"\n")
        out.flush()

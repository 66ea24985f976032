"""SHA-256, which seals what is written.

Python's own is taken before `hashlib`'s, which loads OpenSSL: a command that only prints
would wait for it longer than for its readings.
"""

from collections.abc import Callable
from functools import cache
from importlib import import_module
from typing import Any

_WHERE = ("_sha2", "_sha256", "hashlib")
"""Python's own since 3.12, its own before that, and the one that is always there."""


def sha256(data: bytes) -> str:
    """The SHA-256 of some bytes (FIPS 180-4), as 64 hexadecimal digits."""
    told: str = _reckoner()(data).hexdigest()
    return told


@cache
def _reckoner() -> Callable[[bytes], Any]:
    for name in _WHERE:
        try:
            found: Callable[[bytes], Any] = import_module(name).sha256
        except ImportError:
            continue
        return found
    raise ImportError("this Python has no SHA-256")

"""A large matrix of cases of which the default run tries some, spread over all of it."""

from collections.abc import Iterable
from typing import Any

import pytest


def sampled(cases: Iterable[Any], every: int) -> list[Any]:
    """Return cases for `parametrize`: each so many-th as it is, the others marked slow. Of a
    product each value is tried where `every` has no divisor in common with how many there are."""
    return [case if at % every == 0 else _slow(case) for at, case in enumerate(cases)]


def _slow(case: Any) -> Any:
    values = case if isinstance(case, tuple) else (case,)
    return pytest.param(*values, marks=pytest.mark.slow)

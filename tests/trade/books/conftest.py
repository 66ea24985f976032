from collections.abc import Callable
from zoneinfo import ZoneInfo

import pytest

from crewdesk.errors import BadInput


@pytest.fixture
def new_york() -> ZoneInfo:
    return ZoneInfo("America/New_York")


@pytest.fixture
def refused() -> Callable[..., dict[str, object]]:
    """Calls a function that must refuse by that name, in one sentence; returns the facts."""

    def check(why: str, function: Callable[..., object], *args: object, **kwargs: object) -> dict:
        with pytest.raises(BadInput) as caught:
            function(*args, **kwargs)
        assert why in str(caught.value), caught.value.facts
        said = caught.value.shown()
        assert said.endswith(".")
        assert "{" not in said
        assert "\n" not in said
        return caught.value.facts

    return check

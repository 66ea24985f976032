from collections.abc import Callable
from zoneinfo import ZoneInfo

import pytest

from crewdesk.job.sentences import sentence
from crewdesk.trade.refusal import Refusal


@pytest.fixture
def new_york() -> ZoneInfo:
    return ZoneInfo("America/New_York")


@pytest.fixture
def refused() -> Callable[..., dict[str, object]]:
    """Calls a function that must refuse by that name, in one sentence; returns the facts."""

    def check(why: str, function: Callable[..., object], *args: object, **kwargs: object) -> dict:
        with pytest.raises(Refusal) as caught:
            function(*args, **kwargs)
        assert caught.value.why == why, (caught.value.why, caught.value.facts)
        said = sentence(caught.value)
        assert said.endswith(".")
        assert "{" not in said
        assert "\n" not in said
        return caught.value.facts

    return check

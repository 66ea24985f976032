"""The speed figures in short; `python -m tests.bench.speed` measures them in earnest.

Here each is held to a few times its bar, since a test shares its machine: it is to
show that nothing became slow by a kind of work it had no need of. What the screen
takes, and how it all grows, is among the slow tests.
"""

from functools import partial

import pytest

from tests.bench.speed.figure import POWER
from tests.bench.speed.growing import growing
from tests.bench.speed.listing import listing
from tests.bench.speed.saving import saving
from tests.bench.speed.screen import screen
from tests.bench.speed.starting import starting

SLACK, SLACK_IN_TIME = 3, 10
"""Of a ratio, both sides of which a busy machine slows; of a time by itself."""
SLACK_IN_POWER = 0.5


@pytest.mark.parametrize(
    "measure",
    [
        pytest.param(partial(starting, times=3), id="starting"),
        pytest.param(partial(screen, times=1, keys=8, held=6), id="screen", marks=pytest.mark.slow),
        pytest.param(partial(saving, times=40, others=60, changes=400, beams=30), id="saving"),
        pytest.param(partial(listing, times=1, jobs=200), id="listing"),
        pytest.param(
            partial(growing, times=3, jobs=120, entries=4000, changes=4000),
            id="growing",
            marks=pytest.mark.slow,
        ),
    ],
)
def test_nothing_became_slow(measure, tmp_path) -> None:
    for figure in measure(tmp_path):
        slack = SLACK if figure.plain else SLACK_IN_TIME
        bar = figure.bar + SLACK_IN_POWER if figure.unit == POWER else slack * figure.bar
        assert figure.told <= bar, figure.line

"""Stages and steps are known by their ids, so none can be there twice."""

import pytest

from crewdesk.errors import NotAllowed
from crewdesk.job.steps.usual_stages import USUAL_STAGES


def test_a_name_that_is_there_twice_is_refused_by_its_kind() -> None:
    first, second, *rest = USUAL_STAGES.stages
    twin = second._replace(id=first.id)
    with pytest.raises(NotAllowed, match=f"Two stages have the name {first.id}"):
        USUAL_STAGES.with_stages((first, twin, *rest))
    step = first.steps[0]
    twin = second._replace(steps=(step, *second.steps))
    with pytest.raises(NotAllowed, match=f"Two steps have the name {step.id}"):
        USUAL_STAGES.with_stages((first, twin, *rest))

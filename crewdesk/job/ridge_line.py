"""A beam along a ridge hangs level."""

from crewdesk.errors import BadInput
from crewdesk.job.beam import Beam


def check_ridge(beam: Beam) -> None:
    """Raise `BadInput` where a beam along a ridge is to fall with it: its pitches are those of
    the ceilings beside the ridge, and nothing here works out a third along it."""
    if beam.form.id == "ridge" and beam.ceiling == "sloped":
        raise BadInput(
            "A beam along a ridge hangs level; crewdesk can't work out a ridge that falls. Set the "
            "beam's ceiling to flat: its pitches are those of the ceilings beside the ridge.",
            field="ceiling",
        )

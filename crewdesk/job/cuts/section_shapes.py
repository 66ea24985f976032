"""The section of a beam as shapes for drawing it, whatever its form."""

from fractions import Fraction

from crewdesk.job.beams.beam import Beam
from crewdesk.job.cuts.cleats import cleat_line_of
from crewdesk.trade.cuts.cleat import CLEAT
from crewdesk.trade.cuts.profile import (
    Profile,
    box_profile,
    mitred_profile,
    profile,
    ridge_profile,
    wall_profile,
)


def section_shapes(beam: Beam, cleat: Fraction = CLEAT) -> Profile:
    """Return a beam's section; `cleat` is how far its cleats reach off the sides, in inches. Raises
    `BadInput`."""
    section, form = beam.section, beam.form.id
    if form == "ridge":
        boards = beam.boards
        return ridge_profile(
            section,
            (boards["A"], boards["B"], boards["bottom"]),
            (section.height, beam.height_b or section.height),
            (cleat_line_of(beam, "A", cleat), cleat_line_of(beam, "B", cleat)),
            cleat=cleat,
        )
    if form == "wall":
        return wall_profile(section, cleat=cleat)
    if form in ("mitred", "mitred box"):
        return mitred_profile(section, boxed=form == "mitred box")
    if form == "box":
        return box_profile(section, cleat=cleat)
    return profile(section, beam.height_b if form == "uneven" else None, cleat=cleat)

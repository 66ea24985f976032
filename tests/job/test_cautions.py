"""Each stage's usual cautions, and the published guidance that is named beside them."""

import re

import pytest

from crewdesk.job.steps.cautions import DECORATIVE, cautions
from crewdesk.job.steps.usual_stages import USUAL_STAGES

PROTECTED = "eye and hearing protection"
# What each stage must warn of (common practice, no source).
WARNED = {
    "rip": ("blade guard and riving knife", "push stick", PROTECTED, "dust", "mask"),
    "ease": ("router: clamp the board", PROTECTED, "dust"),
    "tape": ("stands",),
    "tack": ("ladder", "top step", "two points", "wires and pipes", "guard on", "laser",
             PROTECTED),
    "scribe": ("ladder", "two points", PROTECTED, "dust"),
    "nail": ("contact trip", "sequential trigger", "wires and pipes", "two points", "ladder",
             "guard on", "windows, keep", PROTECTED, "studs", "glue", "scribe line", "dust"),
    "fix-up": ("ladder", "windows, keep", "rags", "dust"),
}  # fmt: skip

# Titles and numbers of the guidance. Seen in copies of the publications or of their
# publishers' pages: all but where 'from memory' stands.
PUBLISHED = {
    "29 CFR 1910.213, woodworking machinery": "OSHA, Woodworking machinery requirements",
    "1926.304, woodworking tools": "OSHA, Woodworking tools",
    "29 CFR 1926.300(b), guarding of power tools": "OSHA, General requirements, guarding",
    "29 CFR 1926.54, nonionizing radiation": "OSHA: off when not in use, never at employees",
    "29 CFR 1926.102, eye and face protection": "OSHA, Eye and face protection",
    "1926.52, noise": "OSHA, Occupational noise exposure; the number seen, its title from memory",
    "29 CFR 1926.1053, ladders": "OSHA, Ladders",
    "29 CFR 1926.1053(b)(13)": "OSHA: the top step of a stepladder shall not be used as a step",
    "29 CFR 1926.416(a)(3)": "OSHA: ascertain whether a circuit, exposed or concealed, is near",
    "29 CFR 1926.59, hazard communication": "OSHA, Hazard communication",
    "1926.57, ventilation": "OSHA, Ventilation",
    "29 CFR 1926.252(e)": "OSHA: oily rags in fire resistant covered containers till removed",
    "NIOSH, recommended exposure limit for wood dust": "1 mg/m3, as OSHA's page on wood dust cites",
    "NIOSH 2011-202 and OSHA 3459, Nail Gun Safety": "2011; contact trips twice the risk",
    "NIOSH 2007-122, Simple Solutions: Ergonomics for Construction Workers": "2007",
}


@pytest.mark.parametrize("stage", WARNED)
def test_a_stage_warns_of_what_can_hurt_in_it(stage: str) -> None:
    told = " ".join(one.text for one in cautions(stage)).casefold()
    for words in WARNED[stage]:
        assert words in told


def test_every_source_is_one_that_was_published() -> None:
    every = {one for stage in WARNED for one in cautions(stage)}
    named = [one.source for one in every if one.source]
    assert all(any(known in source for known in PUBLISHED) for source in named)
    for known in PUBLISHED:
        assert any(known in source for source in named), known
    numbers = {n for s in named for n in re.findall(r"\d{4}\.\d+|\d{4}-\d{3}", s)}
    assert numbers == {n for k in PUBLISHED for n in re.findall(r"\d{4}\.\d+|\d{4}-\d{3}", k)}


def test_the_amounts_are_those_of_the_guidance() -> None:
    told = {one.source: one.text for stage in WARNED for one in cautions(stage)}
    assert "1 mg in a cubic meter" in told["NIOSH, recommended exposure limit for wood dust"]
    [nailer] = [one.text for one in cautions("nail") if "contact trip" in one.text]
    assert "doubles the risk" in nailer


def test_all_of_them_say_what_the_beams_are() -> None:
    for stage in (*(one.id for one in USUAL_STAGES), "a stage of one's own"):
        assert cautions(stage)[-1] is DECORATIVE
    for words in ("decorative", "local code", "licensed professional", "carry weight"):
        assert words in DECORATIVE.text

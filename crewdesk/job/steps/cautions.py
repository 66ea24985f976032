"""Cautions for each stage of the work; nothing here is structural advice.

A caution without a source is common practice. Published guidance is named if it exists; it is that
of the United States. Elsewhere and under local code other rules may apply.
"""

from dataclasses import dataclass

_SAWS = "OSHA, 29 CFR 1910.213, woodworking machinery, and 1926.304, woodworking tools"
_GUARDS = "OSHA, 29 CFR 1926.300(b), guarding of power tools"
_BEAM = "OSHA, 29 CFR 1926.54, nonionizing radiation"
_EYES = "OSHA, 29 CFR 1926.102, eye and face protection"
_EARS = "OSHA, 29 CFR 1926.102, eye and face protection, and 1926.52, noise"
_DUST = "NIOSH, recommended exposure limit for wood dust"
_NAILERS = (
    "NIOSH 2011-202 and OSHA 3459, Nail Gun Safety: A Guide for Construction Contractors, 2011"
)
_LADDERS = "OSHA, 29 CFR 1926.1053, ladders"
_LIMIT = "OSHA, 29 CFR 1926.1053(b)(13)"
_CIRCUITS = "OSHA, 29 CFR 1926.416(a)(3): ascertain where live circuits are, also hidden ones"
_REACH = "NIOSH 2007-122, Simple Solutions: Ergonomics for Construction Workers, 2007"
_CHEMICALS = "OSHA, 29 CFR 1926.59, hazard communication, and 1926.57, ventilation"
_OILY = "OSHA, 29 CFR 1926.252(e), solvent waste and oily rags"


@dataclass(frozen=True)
class SiteCaution:
    """A caution, and the published guidance behind it, if any."""

    text: str
    source: str = ""


DECORATIVE = SiteCaution(
    "The beams are decorative. Follow local code; leave fastening that must carry "
    "weight, and what the ceiling can hold, to a licensed professional."
)

_GUARD = SiteCaution(
    "Table saw: keep blade guard and riving knife on and the blade no higher than the "
    "cut needs. Stand out of the line of the board. Wear no long sleeves or gloves "
    "near the blade.",
    _SAWS,
)
_PUSH = SiteCaution(
    "Use a push stick for the last of every rip, and featherboards to hold narrow strips.", _SAWS
)
_CROSSCUT = SiteCaution(
    "Cutting to length: clamp the board against the fence, keep the guard on and your "
    "hands out of the blade's path. Let the blade stop before you move anything.",
    _GUARDS,
)
_LASER = SiteCaution(
    "Keep the laser below eye height and never point it at a face or a mirror. Turn it "
    "off between readings.",
    _BEAM,
)
_SENSES = SiteCaution("Wear eye and hearing protection for every cut and every nail.", _EARS)
_BREATH = SiteCaution(
    "Hook up dust collection at the tool and wear a mask. The recommended limit is 1 mg in a "
    "cubic meter of air over a working day.",
    _DUST,
)
_LADDER = SiteCaution(
    "Ladder: open it fully, on level ground, locked, facing the work. Never stand on "
    "its top step or reach past the rails with a board in hand. Use a platform for "
    "anything over a minute.",
    _LADDERS,
)
_TOP_STEP = SiteCaution("Never stand on the top step of a stepladder.", _LIMIT)
_OVERHEAD = SiteCaution(
    "Support a long board overhead at two points before you let go: a prop, or a "
    "second person at the far end. Let nobody walk under it."
)
_ARMS = SiteCaution(
    "Let props hold the board when you work overhead, and bring the work down to your "
    "shoulder. Change to work below before your arms shake.",
    _REACH,
)
_WIRES = SiteCaution(
    "Know what is behind the drywall before you drive a screw or a nail: wires and "
    "pipes run along and across joists and studs. Use a detector; if in doubt, turn "
    "the circuit off.",
    _CIRCUITS,
)
_TRIGGER = SiteCaution(
    "Nail gun: use a full sequential trigger. A contact trip fires on a bump and about "
    "doubles the risk of injury. Disconnect the air hose before you clear a jam.",
    _NAILERS,
)
_HAND = SiteCaution(
    "Keep the hand that holds the board farther from the nail than the nail is long: a "
    "nail turns on a knot and comes out at the side.",
    _NAILERS,
)
_FUMES = SiteCaution(
    "Adhesive, glue, caulk and finish: open the windows, keep air moving and flames "
    "away. Read the label and the safety data sheet.",
    _CHEMICALS,
)
_RAGS = SiteCaution(
    "Put rags with oil finish into a covered metal can at once, and take it off the "
    "site: they can set themselves alight.",
    _OILY,
)
_SCRAPE = SiteCaution("Scraping overhead: wear goggles that close at the top, and a mask.", _EYES)

BY_STAGE: dict[str, tuple[SiteCaution, ...]] = {
    "rip": (_GUARD, _PUSH, _SENSES, _BREATH),
    "ease": (
        SiteCaution(
            "Router: clamp the board, feed against the turn of the bit, and keep both hands on it."
        ),
        _SENSES,
        _BREATH,
    ),
    "tape": (SiteCaution("Long boards on stands: load and unload at the middle, not the end."),),
    "tack": (
        _LADDER,
        _TOP_STEP,
        _OVERHEAD,
        _ARMS,
        _WIRES,
        _CROSSCUT,
        _LASER,
        _SCRAPE,
        _SENSES,
    ),
    "scribe": (
        _LADDER,
        _OVERHEAD,
        SiteCaution("Clamp the board at two points, tape up, before you saw or plane to the line."),
        _SENSES,
        _BREATH,
    ),
    "nail": (
        _TRIGGER,
        _HAND,
        _WIRES,
        _OVERHEAD,
        _ARMS,
        _LADDER,
        _TOP_STEP,
        _CROSSCUT,
        SiteCaution("Clamp the board at two points before you saw or plane to a scribe line."),
        _FUMES,
        _SENSES,
        _BREATH,
    ),
    "fix-up": (_LADDER, _TOP_STEP, _FUMES, _RAGS, _SCRAPE, _BREATH),
}
"""Cautions by a stage's id; a stage of your own has only `DECORATIVE`."""


def cautions(stage_id: str) -> tuple[SiteCaution, ...]:
    """Return the cautions for a stage of work, the general one last."""
    return (*BY_STAGE.get(stage_id, ()), DECORATIVE)

"""What can hurt a person in each stage of the work; nothing here is structural advice.

A caution without a source is common practice. Where published guidance is named, it
is that of the United States; another place has its own, and local code comes first.
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
    """One caution, and the published guidance it rests on, where that can be named."""

    text: str
    source: str = ""


DECORATIVE = SiteCaution(
    "The beams are decorative. Follow local code; fastening that must carry weight is for "
    "licensed practice, and what the ceiling can hold is for whoever may judge it."
)

_GUARD = SiteCaution(
    "Table saw: blade guard and riving knife on, blade no higher than the cut needs, out of the "
    "line of the board, no long sleeves or gloves near the blade.",
    _SAWS,
)
_PUSH = SiteCaution(
    "Push stick for the last of every rip; featherboards hold narrow strips.", _SAWS
)
_CROSSCUT = SiteCaution(
    "Cutting to length: board against the fence and clamped, guard on, hands out of the blade's "
    "path; let the blade stop before anything is moved.",
    _GUARDS,
)
_LASER = SiteCaution(
    "Laser below eye height, never at a face or a mirror; off while nobody reads it.", _BEAM
)
_SENSES = SiteCaution("Wear eye and hearing protection for every cut and every nail.", _EARS)
_BREATH = SiteCaution(
    "Hook up dust collection at the tool and wear a mask. The recommended limit is 1 mg in a "
    "cubic meter of air over a working day.",
    _DUST,
)
_LADDER = SiteCaution(
    "Ladder open and level, locked, facing the work; never on its top step, and no reach past "
    "the rails with a board in hand. A platform beats a ladder for anything over a minute.",
    _LADDERS,
)
_TOP_STEP = SiteCaution("The top step of a stepladder is not a step.", _LIMIT)
_OVERHEAD = SiteCaution(
    "A long board overhead needs two supports before a hand lets go: a prop or a second person at "
    "the far end, and nobody walks under it."
)
_ARMS = SiteCaution(
    "Arms overhead tire soon: let props hold the board and bring the work down to the shoulder; "
    "change to work on the level before they shake.",
    _REACH,
)
_WIRES = SiteCaution(
    "Know what is behind the drywall before a screw or a nail goes in: wires and pipes run along "
    "and across joists and studs. Look with a detector, turn the circuit off where in doubt.",
    _CIRCUITS,
)
_TRIGGER = SiteCaution(
    "Nail gun: full sequential trigger. A contact trip fires on a bump, and about doubles the "
    "risk of being hurt. Disconnect the air hose before clearing a jam.",
    _NAILERS,
)
_HAND = SiteCaution(
    "The hand that holds the board stays farther from the nail than the nail is long; a nail "
    "turns on a knot and comes out at the side.",
    _NAILERS,
)
_FUMES = SiteCaution(
    "Adhesive, glue, caulk and finish: windows open, air moving, no flame; read the label and its "
    "safety data sheet.",
    _CHEMICALS,
)
_RAGS = SiteCaution(
    "Rags with oil finish can set themselves alight: into a covered metal can at once, and off the "
    "site with it.",
    _OILY,
)
_SCRAPE = SiteCaution("Scraping over one's head: glasses that close at the top, and a mask.", _EYES)

BY_STAGE: dict[str, tuple[SiteCaution, ...]] = {
    "rip": (_GUARD, _PUSH, _SENSES, _BREATH),
    "ease": (
        SiteCaution("Router: board clamped, feed against the turn of the bit, both hands on it."),
        _SENSES,
        _BREATH,
    ),
    "tape": (SiteCaution("Long boards on stands: load and unload the middle, not the end."),),
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
        SiteCaution("Saw or plane to the line with the board clamped at two points, tape up."),
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
        SiteCaution("Saw or plane to a scribe line with the board clamped at two points."),
        _FUMES,
        _SENSES,
        _BREATH,
    ),
    "fix-up": (_LADDER, _TOP_STEP, _FUMES, _RAGS, _SCRAPE, _BREATH),
}
"""By a stage's id; a stage of one's own has none besides `DECORATIVE`."""


def cautions(stage_id: str) -> tuple[SiteCaution, ...]:
    """The cautions for a stage of work, the one that is true of all of it last."""
    return (*BY_STAGE.get(stage_id, ()), DECORATIVE)

"""A compound cut, the saw's miter and its blade's tilt, in a line and as JSON."""

from typing import Any

from crewdesk.paper.lengths import degrees_shown
from crewdesk.trade.cuts.compound import Compound

_WAYS = {
    "side": ("top cut back", "top out past"),
    "bottom": ("edge A longer", "edge B longer"),
}


def compound_told(cut: Compound, kind: str) -> str:
    """Both settings of a side or a bottom board, each with the way it goes."""
    positive, negative = _WAYS[kind]
    way = positive if cut.mitre_deg > 0 else negative
    face = "show face" if cut.blade_deg > 0 else "back"
    miter = f"miter {degrees_shown(abs(cut.mitre_deg))}" + (f" ({way})" if cut.mitre_deg else "")
    blade = f"blade {degrees_shown(abs(cut.blade_deg))}" + (
        f" ({face} longer)" if cut.blade_deg else ""
    )
    return f"{miter}, {blade}"


def compound_json(cut: Compound) -> dict[str, Any]:
    """Both settings in degrees, signed as `Compound` has them."""
    return {"mitre_deg": cut.mitre_deg, "blade_deg": cut.blade_deg}

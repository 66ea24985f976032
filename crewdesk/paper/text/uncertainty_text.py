"""How far the marks of a piece can be off, in lines and as JSON: always rounded up."""

from collections.abc import Iterator, Mapping

from crewdesk.job.beams.uncertainty import Sureness
from crewdesk.length import (
    DEFAULT_STEP,
    MM_PER_INCH,
    SIXTY_FOURTH,
    Length,
    Step,
    exact_text,
    mixed,
    rounded_up,
)

_HALF_MM = 1 / MM_PER_INCH / 2
_NAMES = {
    "bottom_length": "bottom edge",
    "top_length": "top edge",
    "blank": "blank",
    "end1": "offset at end 1",
    "end2": "offset at end 2",
    "relief1": "back at end 1",
    "relief2": "back at end 2",
    "edge_a": "edge A",
    "edge_b": "edge B",
    "cut1": "slant at end 1",
    "cut2": "slant at end 2",
    "start_A": "start on side A",
    "start_B": "start on side B",
    "start_wall": "start on the wall",
    "length_A": "length on side A",
    "length_B": "length on side B",
    "length_wall": "length on the wall",
}

_PAIRS = {
    ("end1", "end2"): "offsets",
    ("relief1", "relief2"): "backs",
    ("edge_a", "edge_b"): "length",
    ("cut1", "cut2"): "slants",
    ("start_A", "start_B"): "starts",
    ("length_A", "length_B"): "lengths",
}


def within_shown(off: Length, step: Step = DEFAULT_STEP) -> str:
    """What a length can be off by, without its unit: to the next 1/64 in up, or to the next
    half millimeter up where the job shows millimeters."""
    if not step.mm:
        return mixed(rounded_up(off, SIXTY_FOURTH))
    return f"{float(rounded_up(off, _HALF_MM) * MM_PER_INCH):g}"


def within(off: Length, step: Step = DEFAULT_STEP) -> str:
    """The same with its unit: ``3/32 in``, ``2.5 mm``."""
    return f"{within_shown(off, step)} {'mm' if step.mm else 'in'}"


def within_json(off: Length, step: Step = DEFAULT_STEP) -> dict[str, str]:
    """``{"exact": "5/64", "shown": "5/64"}``: exact in inches, shown rounded up."""
    shown = within_shown(off, step)
    return {"exact": exact_text(off), "shown": f"{shown} mm" if step.mm else shown}


def uncertainty_line(sure: Sureness, step: Step = DEFAULT_STEP) -> str:
    """How far each mark can be off at worst, on one line; nothing where none was read."""
    told = ", ".join(f"{name} {off}" for name, off in _named(sure.within, step))
    return f"within ({'mm' if step.mm else 'in'}): {told}" if told else ""


def uncertainty_lines(sure: Sureness, step: Step = DEFAULT_STEP) -> list[str]:
    """The same, and below it what would make the marks surer, each behind a ``!``."""
    line = uncertainty_line(sure, step)
    return [*([line] if line else []), *(f"! {one}" for one in uncertainty_cautions(sure, step))]


def _named(within: Mapping[str, Length], step: Step) -> Iterator[tuple[str, str]]:
    """Marks by their names and how far they can be off, as shown; two marks of a pair that show
    the same once, and no more of a back than that of its edge."""
    shown = {id_: within_shown(off, step) for id_, off in within.items()}
    alike = [pair for pair in _PAIRS if shown.get(pair[0]) == shown.get(pair[1])]
    first = {pair[0]: _PAIRS[pair] for pair in alike}
    second = {pair[1] for pair in alike}
    for id_, off in shown.items():
        if id_ in _NAMES and id_ not in second:
            yield first.get(id_, _NAMES[id_]), off


def uncertainty_cautions(sure: Sureness, step: Step) -> list[str]:
    """What would make the marks surer, a sentence each."""
    return [one.shown(step) for one in sure.cautions]

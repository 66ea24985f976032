"""What a step is for and what it needs, in words."""

from crewdesk.job.readings import NAMES
from crewdesk.job.refused import Refused
from crewdesk.job.stages import KINDS, Need, Stages, Step
from crewdesk.job.words import quoted

_PLURAL = {"side": "sides", "bottom": "bottoms", "top": "tops", "cleats": "cleats"}
_ON = {
    "partner": "the other side of its pair",
    "sides": "both sides",
    "bottom": "the bottom board",
    "top": "the top board",
    "cleats": "the cleats",
}


def kinds_told(kinds: tuple[str, ...]) -> str:
    """The kinds of piece that a step is for: ``sides and bottoms``."""
    names = [_PLURAL[kind] for kind in KINDS if kind in kinds]
    return " and ".join([", ".join(names[:-1]), names[-1]] if names[1:] else names)


def kinds_read(text: str) -> tuple[str, ...]:
    """The kinds that a text tells, as ``sides, bottom`` or ``all``; raises `Refused`."""
    words = text.replace(",", " ").replace("+", " ").casefold().split()
    words = [word for word in words if word != "and"]
    if words in (["all"], ["every"], ["each"]):
        return KINDS
    stems = {stem: kind for kind, many in _PLURAL.items() for stem in (kind, many)} | {
        "cleat": "cleats"
    }
    for word in words:
        if word not in stems:
            raise Refused(
                f"{quoted(word)} is no kind of piece; write sides, bottoms, tops, cleats, or more "
                "than one."
            )
    if not words:
        raise Refused("Say for which pieces it is: sides, bottoms, tops, cleats, or more than one.")
    told = {stems[word] for word in words}
    return tuple(kind for kind in KINDS if kind in told)


def needs_told(stages: Stages, step: Step) -> str:
    """What must be there before a step may be done, in one sentence."""
    if not step.needs:
        return "Needs nothing: it may be done at any time."
    return f"Needs {'; '.join(_need_told(stages, need) for need in step.needs)}."


def _need_told(stages: Stages, need: Need) -> str:
    if need.sort == "earlier":
        return "every earlier step of the piece"
    if need.sort == "done":
        return f"'{_step(stages, need)}' done on {_ON[need.who]}"
    if need.sort == "reading":
        return f"the {NAMES[need.what]} read"
    return f"that reading taken after '{_step(stages, need)}' on {_ON[need.who]}"


def _step(stages: Stages, need: Need) -> str:
    return stages.step(need.step).name if stages.has(need.step) else need.step

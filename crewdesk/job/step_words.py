"""What a step is for and what it needs, in words."""

from crewdesk.errors import NotAllowed
from crewdesk.job.needs import BEAM, OUT_OF_SQUARE, PARTNER, PIECE, Need
from crewdesk.job.readings import NAMES
from crewdesk.job.stages import KINDS, Stages, Step
from crewdesk.job.words import quoted

_PLURAL = {"side": "sides", "bottom": "bottoms", "top": "tops", "cleats": "cleats"}
_ON = {
    PIECE: "this piece",
    PARTNER: "the other side of its pair",
    "sides": "both sides",
    "bottom": "the bottom board",
    "top": "the top board",
    "cleats": "the cleats",
}


def kinds_told(kinds: tuple[str, ...]) -> str:
    """The kinds of piece that a step is for: ``sides and bottoms``."""
    return listed([_PLURAL[kind] for kind in KINDS if kind in kinds])


def kinds_read(text: str) -> tuple[str, ...]:
    """The kinds that a text tells, as ``sides, bottom`` or ``all``; raises `NotAllowed`."""
    words = text.replace(",", " ").replace("+", " ").casefold().split()
    words = [word for word in words if word != "and"]
    if words in (["all"], ["every"], ["each"]):
        return KINDS
    stems = {stem: kind for kind, many in _PLURAL.items() for stem in (kind, many)} | {
        "cleat": "cleats"
    }
    for word in words:
        if word not in stems:
            raise NotAllowed(
                f"{quoted(word)} is no kind of piece; write sides, bottoms, tops, cleats, or more "
                "than one."
            )
    if not words:
        raise NotAllowed(
            "Say for which pieces it is: sides, bottoms, tops, cleats, or more than one."
        )
    told = {stems[word] for word in words}
    return tuple(kind for kind in KINDS if kind in told)


def needs_told(stages: Stages, step: Step) -> str:
    """Return what must be there before a step may be done, in one sentence.

    Needs of one sort on the same pieces are put together, and a reading that must come
    after a step is not said to be needed once more.
    """
    if not step.needs:
        return "Needs nothing: it may be done at any time."
    after = {need.what for need in step.needs if need.sort == "read after"}
    together: dict[tuple[str, str, str], list[Need]] = {}
    for need in step.needs:
        if need.sort == "reading" and not need.who and need.what in after:
            continue
        apart = "" if need.sort in ("done", "reading") else f"{need.step} {need.what}"
        together.setdefault((need.sort, need.who, apart), []).append(need)
    return f"Needs {'; '.join(_text(stages, needs) for needs in together.values())}."


def _text(stages: Stages, needs: list[Need]) -> str:
    """Return what needs of one sort, on the same pieces, ask for."""
    one = needs[0]
    if one.sort == "done":
        steps = listed([f"'{step_name(stages, need.step)}'" for need in needs])
        return f"{steps} done on {_ON[one.who]}"
    if one.sort == "reading" and one.who != BEAM:
        what = listed([NAMES[need.what] for need in needs])
        return f"the {what} read{f' on {_ON[one.who]}' if one.who else ''}"
    return need_text(stages, one)


def listed(words: list[str]) -> str:
    """Return words in a row: ``a, b and c``."""
    return " and ".join([", ".join(words[:-1]), words[-1]] if words[1:] else words)


def need_text(stages: Stages, need: Need) -> str:
    """Return what one need asks for: ``'Tack' done on both sides``."""
    if need.sort == "earlier":
        return "every earlier step of the piece"
    if need.sort == OUT_OF_SQUARE:
        return "edge B read too, if the walls are out of square"
    if need.who == BEAM:
        return "the ceiling read at both ends and the center"
    if need.sort == "read after":
        after = f"after '{step_name(stages, need.step)}' on {_ON[need.who]}"
        return f"the {NAMES[need.what]} read {after}"
    return _text(stages, [need])


def step_name(stages: Stages, id_: str) -> str:
    """Return a step's name; that of a usual step, else the id, where it was dropped."""
    if stages.has(id_):
        return stages.step(id_).name
    from crewdesk.job.usual_stages import USUAL_STAGES  # few steps are dropped

    return USUAL_STAGES.step(id_).name if USUAL_STAGES.has(id_) else id_

"""The seven usual stages (common practice), names of steps, and the kinds of piece that each step's
cut applies to."""

from collections.abc import Collection, Mapping
from typing import Protocol

from crewdesk.errors import NotAllowed
from crewdesk.job.beams.readings import NAMES
from crewdesk.job.steps.stages import (
    BEAM,
    EARLIER,
    KINDS,
    OUT_OF_SQUARE,
    PARTNER,
    PIECE,
    TRUTHS,
    Need,
    Stage,
    Stages,
    Step,
    done,
    read,
)
from crewdesk.job.text_limits import quoted

USUAL_STAGES = Stages(
    (
        Stage(
            "rip",
            "Rip",
            (
                Step("rip-side", "Rip to width", ("side",)),
                Step("rip-bottom", "Rip to width, bevel the edges", ("bottom",)),
                Step("rip-top", "Rip the top board to width", ("top",)),
                Step("rip-cleats", "Rip the cleats, from cutoffs first", ("cleats",)),
            ),
        ),
        Stage(
            "ease",
            "Ease",
            (
                Step("ease", "Ease both bottom edges", ("side",), only="square edges"),
                Step("sand", "Sand the show faces", ("side", "bottom")),
                Step("cleat-line", "Mark the cleat line inside", ("side",), only="cleats"),
            ),
        ),
        Stage("tape", "Tape", (Step("tape", "Tape the top edge", ("side",), only="ceiling"),)),
        Stage(
            "tack",
            "Tack",
            (
                Step("scrape", "Scrape the ceiling of ridges", ("side",), only="ceiling"),
                Step(
                    "cut-side",
                    "Cut to length",
                    ("side",),
                    (EARLIER, read("run"), read("end1"), read("end2")),
                ),
                Step("back-bevel", "Back-bevel the end that slides in", ("side",)),
                Step("tack", "Tack with three screws, center first", ("side",), only="ceiling"),
                Step(
                    "level",
                    "Level at ends and center",
                    ("side",),
                    (EARLIER, done("partner", "tack")),
                    "ceiling",
                ),
            ),
        ),
        Stage(
            "scribe",
            "Scribe",
            (
                Step(
                    "scribe",
                    "Scribe, one setting for the beam",
                    ("side",),
                    (
                        EARLIER,
                        done("partner", "tack"),
                        done("partner", "level"),
                        *TRUTHS["scribe"],
                    ),
                    "ceiling",
                ),
                Step(
                    "take-down",
                    "Take down, ends' screws first",
                    ("side",),
                    (EARLIER, done("partner", "scribe")),
                    "ceiling",
                ),
                Step("cut-scribe", "Cut to the scribe line", ("side",), only="ceiling"),
            ),
        ),
        Stage(
            "nail",
            "Final nail",
            (
                Step(
                    "fix-cleats",
                    "Nail a cleat inside each side",
                    ("cleats",),
                    (EARLIER, done("sides", "cleat-line"), *TRUTHS["fix-cleats"]),
                ),
                Step(
                    "fix-top",
                    "Cut the top to length, attach it to the sides",
                    ("top",),
                    (EARLIER, done("sides", "cut-side"), *TRUTHS["fix-top"]),
                ),
                Step(
                    "nail-side",
                    "Push up and nail",
                    ("side",),
                    (EARLIER, done("cleats", "fix-cleats"), done("top", "fix-top")),
                ),
                Step(
                    "wall-cleat",
                    "Nail the wall's cleat level with the side's",
                    ("cleats",),
                    (EARLIER, done("sides", "cut-scribe"), done("sides", "nail-side")),
                    "wall",
                ),
                Step(
                    "cut-bottom",
                    "Cut to length, both ends to fit",
                    ("bottom",),
                    (
                        EARLIER,
                        done("sides", "nail-side"),
                        read("opening"),
                        Need("read after", who="sides", step="nail-side", what="opening"),
                        *TRUTHS["cut-bottom"],
                    ),
                ),
                Step(
                    "scribe-wall",
                    "Scribe the wall edge, cut to the line",
                    ("bottom",),
                    (EARLIER, done("sides", "nail-side"), done("cleats", "wall-cleat")),
                    "wall",
                ),
                Step(
                    "nail-bottom",
                    "Adhesive on the cleat, clamp, nail",
                    ("bottom",),
                    (EARLIER, *TRUTHS["nail-bottom"], done("cleats", "wall-cleat")),
                    "cleats",
                ),
                Step(
                    "glue-bottom",
                    "Glue the miters, clamp, nail",
                    ("bottom",),
                    (EARLIER, done("sides", "nail-side")),
                    "glued miters",
                ),
            ),
        ),
        Stage(
            "fix-up",
            "Fix-up",
            (
                Step(
                    "gaps",
                    "Find and close the gaps",
                    ("side", "bottom"),
                    (EARLIER, done("bottom", "nail-bottom"), done("bottom", "glue-bottom")),
                ),
                Step("tape-off", "Tape off", ("side",), only="ceiling"),
            ),
        ),
    )
)


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
    """Return a step's kinds of piece in words: ``sides and bottoms``."""
    return listed([_PLURAL[kind] for kind in KINDS if kind in kinds])


def kinds_read(text: str) -> tuple[str, ...]:
    """Return the kinds that a text names, such as ``sides, bottom`` or ``all``; raises
    `NotAllowed`."""
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
                f"{quoted(word)} isn't a kind of piece. Type sides, bottoms, tops, "
                "cleats, or more than one."
            )
    if not words:
        raise NotAllowed(
            "Type which pieces it is for: sides, bottoms, tops, cleats, or more than one."
        )
    shown = {stems[word] for word in words}
    return tuple(kind for kind in KINDS if kind in shown)


def needs_told(stages: Stages, step: Step) -> str:
    """Return a step's needs in one sentence.

    Needs of one sort on the same pieces are combined, and a reading that must come after a step is
    named once.
    """
    if not step.needs:
        return "Needs nothing: it can be done at any time."
    after = {need.what for need in step.needs if need.sort == "read after"}
    together: dict[tuple[str, str, str], list[Need]] = {}
    for need in step.needs:
        if need.sort == "reading" and not need.who and need.what in after:
            continue
        apart = "" if need.sort in ("done", "reading") else f"{need.step} {need.what}"
        together.setdefault((need.sort, need.who, apart), []).append(need)
    return f"Needs {'; '.join(_text(stages, needs) for needs in together.values())}."


def _text(stages: Stages, needs: list[Need]) -> str:
    """Return the words for needs of one sort on the same pieces."""
    one = needs[0]
    if one.sort == "done":
        steps = listed([f"'{step_name(stages, need.step)}'" for need in needs])
        return f"{steps} done on {_ON[one.who]}"
    if one.sort == "reading" and one.who != BEAM:
        what = listed([NAMES[need.what] for need in needs])
        return f"the {what} measured{(f' on {_ON[one.who]}' if one.who else '')}"
    return need_text(stages, one)


def listed(words: list[str]) -> str:
    """Return words in a row: ``a, b and c``."""
    return " and ".join([", ".join(words[:-1]), words[-1]] if words[1:] else words)


def need_text(stages: Stages, need: Need) -> str:
    """Return one need in words: ``'Tack' done on both sides``."""
    if need.sort == "earlier":
        return "every earlier step of the piece"
    if need.sort == OUT_OF_SQUARE:
        return "edge B measured too, if the walls are out of square"
    if need.who == BEAM:
        return "the ceiling measured at both ends and the center"
    if need.sort == "read after":
        after = f"after '{step_name(stages, need.step)}' on {_ON[need.who]}"
        return f"the {NAMES[need.what]} measured {after}"
    return _text(stages, [need])


def step_name(stages: Stages, id_: str) -> str:
    """Return a step's name; the usual one, or the id, if it was dropped."""
    if stages.has(id_):
        return stages.step(id_).name

    return USUAL_STAGES.step(id_).name if USUAL_STAGES.has(id_) else id_


_SIDES, _BOTTOMS, _CLEATS = ("side",), ("bottom",), ("cleats",)
_BOARDS = ("side", "bottom", "top")
MADE_FOR: Mapping[str, tuple[str, ...]] = {
    "rip-side": _BOARDS,
    "rip-bottom": _BOARDS,
    "rip-top": _BOARDS,
    "rip-cleats": _CLEATS,
    "cleat-line": _SIDES,
    "cut-side": _SIDES,
    "back-bevel": _SIDES,
    "level": _SIDES,
    "scribe": _SIDES,
    "cut-scribe": _SIDES,
    "nail-side": _SIDES,
    "fix-cleats": _CLEATS,
    "wall-cleat": _CLEATS,
    "fix-top": ("top",),
    "cut-bottom": _BOTTOMS,
    "scribe-wall": _BOTTOMS,
    "nail-bottom": _BOTTOMS,
    "glue-bottom": _BOTTOMS,
}
"""The kinds of piece that each usual step's cut or setting applies to, by id. Other steps set
nothing that depends on the kind."""


class _Kind(Protocol):
    """A piece, for its kind alone."""

    @property
    def kind(self) -> str: ...


def is_made_for(step_id: str, piece: _Kind) -> bool:
    """Return whether a piece can take the cut or setting of a step."""
    return piece.kind in MADE_FOR.get(step_id, KINDS)


def misplaced(stages: Stages) -> tuple[str, ...]:
    """Return a sentence for each step that is for pieces which can't take its cut or setting."""
    whys = (why_not_for(s.id, s.name, s.kinds) for stage in stages for s in stage.steps)
    return tuple(why for why in whys if why)


def check_kinds(stages: Stages) -> None:
    """Raise `NotAllowed` if a step is for pieces which can't take its cut or setting."""
    for why in misplaced(stages):
        raise NotAllowed(f"{why} Nothing was changed.")


def why_not_for(step_id: str, name: str, kinds: Collection[str]) -> str:
    """Return the sentence for a step that is for pieces which can't take its cut or setting; or ""
    if all of them can. `name` is the step's."""
    fits = MADE_FOR.get(step_id, KINDS)
    unfit = tuple(kind for kind in KINDS if kind in kinds and kind not in fits)
    if not unfit:
        return ""

    return (
        f"'{name}' has a cut or setting of its own for {kinds_told(fits)}, so it can't "
        f"be a step of {kinds_told(unfit)}. Add another step for those."
    )

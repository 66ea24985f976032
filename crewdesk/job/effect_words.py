"""What a change of the stages opens, and the reasons given for it, in words."""

from collections.abc import Iterable

from crewdesk.job.needs import PIECE, Need, Waiver
from crewdesk.job.stages import Stages
from crewdesk.job.step_effects import Effect
from crewdesk.job.step_words import listed, need_text, step_name

_MOST_NAMED = 3
_LONGEST = 48


def effects_text(stages: Stages, found: Iterable[Effect]) -> str:
    """Return which steps would open, or could never be done; `stages` are those before."""
    found = tuple(found)
    never = [one for one in found if one.never]
    said = [
        f"{_named([one.step.name])} needs {need_text(stages, one.need)}, which could never be met."
        for one in never
    ]
    if len(never) > _MOST_NAMED:
        names = _named([one.step.name for one in never])
        needed = _named([step_name(stages, one.need.step) for one in never])
        said = [f"{names} need {needed}, which could never be met."]
    said += [
        f"{_named([one.step.name])} would no longer need {need_text(stages, one.need)}."
        for one in found
        if not one.never and not _came_before(one.need)
    ][:_MOST_NAMED]
    order = [one for one in found if not one.never and _came_before(one.need)]
    if order:
        later = _named([one.step.name for one in order])
        before = _named([step_name(stages, one.need.step) for one in order])
        said.append(f"{later} would no longer wait for {before}.")
    return f"{' '.join(said)} To do it all the same, give the reason; it is saved and shown."


def waiver_text(stages: Stages, waiver: Waiver) -> str:
    """Return what was changed, why, and which steps it opened."""
    opened = _named([step_name(stages, id_) for id_, _ in waiver.needs])
    what = f"{waiver.what[:1].upper()}{waiver.what[1:]}"
    return f"{what}: {waiver.reason} (no longer held back: {opened})"


def _came_before(need: Need) -> bool:
    return need.sort == "done" and need.who == PIECE


def _named(names: Iterable[str]) -> str:
    """Return some names, each once and quoted, and how many more there are."""
    every = [
        f"'{name if len(name) <= _LONGEST else f'{name[:_LONGEST]}...'}'"
        for name in dict.fromkeys(names)
    ]
    shown, more = every[:_MOST_NAMED], len(every) - _MOST_NAMED
    if more > 0:
        return f"{', '.join(shown)} and {more} more"
    return listed(shown)

"""What a change of the stages opens, and the reasons given for it, in words."""

from collections.abc import Iterable

from crewdesk.job.steps.stages import PIECE, Need, Stages, Waiver
from crewdesk.job.steps.step_effects import Effect
from crewdesk.job.steps.usual_stages import listed, need_text, step_name

_MOST_NAMED = 3
_EVERY_NAME = 40
_LONGEST_NAME = 48
_LONGEST = 560
"""A question longer than this many characters leaves names out and says how many, but never
fewer than `_MOST_NAMED` in a row."""


def effects_text(stages: Stages, found: Iterable[Effect], held: Iterable[str] = ()) -> str:
    """Return which steps would open, or could never be done; `stages` are those before. `held`
    say which cuts would no longer be asked about, or hold less."""
    found, held = tuple(found), tuple(held)
    text = ""
    for most in (_EVERY_NAME, *range(12, _MOST_NAMED - 1, -1)):
        text = _text(stages, found, held, most)
        if len(text) <= _LONGEST:
            break
    return text


def _text(stages: Stages, found: tuple[Effect, ...], held: tuple[str, ...], most: int) -> str:
    """Return the same with at most so many names in a row."""
    said = _never(stages, [one for one in found if one.never], most)
    lost = [one for one in found if not one.never and not _came_before(one.need)]
    said += [
        f"{names} would no longer need {need}."
        for names, need, _ in _by_need(stages, lost, most)[:most]
    ]
    order = [one for one in found if not one.never and _came_before(one.need)]
    if order:
        later = _named([one.step.name for one in order], most)
        before = _named([step_name(stages, one.need.step) for one in order], most)
        said.append(f"{later} would no longer wait for {before}.")
    if held:
        more = len(held) - _MOST_NAMED
        also = f" {more} more hold{'' if more == 1 else 's'} would end with it." if more > 0 else ""
        what = "a hold" if len(held) == 1 else f"{len(held)} holds"
        said.append(f"It would end {what}: {' '.join(held[:_MOST_NAMED])}{also}")
    return f"{' '.join(said)} To do it anyway, give the reason. It is saved and shown."


def _never(stages: Stages, never: list[Effect], most: int) -> list[str]:
    """Return a sentence for each need that could never be met, or one for many."""
    groups = _by_need(stages, never, most)
    if len(groups) <= most:
        return [
            f"{names} need{'' if many else 's'} {need}, which could never be met."
            for names, need, many in groups
        ]
    names = _named([one.step.name for one in never], most)
    needed = _named([step_name(stages, one.need.step) for one in never], most)
    return [f"{names} need {needed}, which could never be met."]


def _by_need(stages: Stages, found: Iterable[Effect], most: int) -> list[tuple[str, str, bool]]:
    """Return the names of the steps that have a need, the need, and whether they are several."""
    groups: dict[str, dict[str, None]] = {}
    for one in found:
        groups.setdefault(need_text(stages, one.need), {})[one.step.name] = None
    return [(_named(names, most), need, len(names) > 1) for need, names in groups.items()]


def waiver_text(stages: Stages, waiver: Waiver) -> str:
    """Return what was changed, why, and which steps it opened."""
    opened = _named([step_name(stages, id_) for id_, _ in waiver.needs], _MOST_NAMED)
    what = f"{waiver.what[:1].upper()}{waiver.what[1:]}"
    return f"{what}: {waiver.reason} (no longer held back: {opened})"


def _came_before(need: Need) -> bool:
    return need.sort == "done" and need.who == PIECE


def _named(names: Iterable[str], most: int) -> str:
    """Return some names, each once and quoted, and how many more there are."""
    every = [
        f"'{name if len(name) <= _LONGEST_NAME else f'{name[:_LONGEST_NAME]}...'}'"
        for name in dict.fromkeys(names)
    ]
    shown, more = every[:most], len(every) - most
    if more > 0:
        return f"{', '.join(shown)} and {more} more"
    return listed(shown)

"""A machine's setting in words."""

import re
from collections.abc import Mapping, Sequence
from fractions import Fraction
from itertools import groupby
from typing import NamedTuple

from crewdesk.job.cuts.batches import BatchSettings, Group
from crewdesk.job.cuts.cut import BLADE, DEGREES
from crewdesk.job.cuts.end_settings import MITER_SAW
from crewdesk.job.cuts.rip_settings import SQUARE_RIP
from crewdesk.length import Step, mixed
from crewdesk.paper.lengths import degrees_shown, with_unit
from crewdesk.trade.cuts.settings import Setting
from crewdesk.trade.cuts.shop_machine import ShopMachine

NO_SETTING = "No setting to make"
_EIGHTHS = 8


class SettingFigure(NamedTuple):
    """One figure to set a machine to: its name, the figure alone, and its unit or what to know."""

    name: str
    value: str
    note: str


def setting_figures(
    setting: Setting, step: Step, signs: Mapping[str, str] | None = None
) -> list[SettingFigure]:
    """Return each part of a setting as name, value and unit, for example ``fence``, ``6 1/2`` and
    ``in``; see `setting_parts`."""
    unit = "mm" if step.mm else "in"
    made = []
    for part, text in setting_parts(setting, step, signs):
        if text == "square":
            made.append(SettingFigure(part, "0\u00b0", text))
        elif text.endswith(f" {unit}"):
            made.append(SettingFigure(part, text.removesuffix(f" {unit}"), unit))
        else:
            made.append(SettingFigure(part, text, ""))
    return made


def group_figures(group: Group, step: Step) -> list[SettingFigure]:
    """Return a group's figures with what goes with each: which way the blade leans, on which side
    of it fence or stop is; then which face is down, as a word."""
    figures = setting_figures(group.setting, step, group.signs)
    lies = group.lies
    if lies is None or not figures:
        return figures
    first, last = figures[0], figures[-1]
    if lies.leans and first.name == BLADE:
        figures[0] = first._replace(note=f"leans {lies.leans}")
    if group.placed:
        side = group.placed.partition(" ")[2].removesuffix(" of the blade")
        figures[-1] = last._replace(note=f"{last.note}, {side} of blade")
    if lies.down:
        at_fence = f"{lies.against} at fence" if lies.against else ""
        face = "BACK" if lies.down == "back" else "SHOW"
        figures.append(SettingFigure("face down", face, at_fence))
    return figures


def setting_parts(
    setting: Setting, step: Step, signs: Mapping[str, str] | None = None
) -> list[tuple[str, str]]:
    """Return each part of a setting with its figure, for example ``("fence", "6 1/2 in")``.

    The values are rounded as the machine can be set; `signs` has `+` or `-` by part where
    the true figure is a little more or less. An angle of 0 of the blade is "square".
    """
    signs = signs or {}

    def figure(part: str, value: Fraction) -> str:
        if part in DEGREES:
            return _angle(value)
        if sign := signs.get(part, ""):
            shown = str(value / step.size) if step.mm else mixed(value)
            return f"{shown}{sign} {'mm' if step.mm else 'in'}"
        return with_unit(value, step)

    return [
        ("blade", "square") if part == BLADE and not value else (part, figure(part, value))
        for part, value in setting
    ]


def _angle(value: Fraction) -> str:
    """Return ``15°``, ``22.50°``, ``2.40°``; an angle in eighths of a degree in full,
    ``7.125°``."""
    if value.denominator == 1:
        return f"{value}\u00b0"
    if value.denominator == _EIGHTHS:
        return f"{float(value):.3f}\u00b0"
    return degrees_shown(float(value))


def setting_told(
    machine: str, setting: Setting, step: Step, signs: Mapping[str, str] | None = None
) -> str:
    """Return ``table saw: blade tilt 15°, fence 6 1/2 in``, see `setting_parts`."""
    if not machine:
        return NO_SETTING
    parts = (f"{part} {figure}" for part, figure in setting_parts(setting, step, signs))
    return f"{machine}: {', '.join(parts)}"


def group_told(group: Group, step: Step) -> str:
    """Return a group's setting in words; "" if no machine is set and its notes or its boards say
    what to do."""
    if not group.machine and (group.notes or group.own):
        return ""
    return setting_told(group.machine, group.setting, step, group.signs)


def notes_told(group: Group) -> list[str]:
    """Return where a group's fence or stop is and how its boards lie, then why they are cut so,
    line by line; cautions, with `!`, last."""
    plain = [note for note in group.notes if not note.startswith("!")]
    cautions = [note for note in group.notes if note.startswith("!")]
    placed = [f"{group.placed[0].upper()}{group.placed[1:]}."] if group.placed else []
    lines = [" ".join((*placed, *plain))] if placed or plain else []
    return [*lines, *group.reasons, *cautions]


class Shown(NamedTuple):
    """A group as a batch shows it: the title of its cut and its common notes, both empty if the
    group before has the same cut; and the group with its own notes alone."""

    cut: str
    notes: list[str]
    group: Group


def said_once(settings: BatchSettings) -> tuple[list[str], list[Shown]]:
    """Return the notes common to all of a batch's groups on a machine, and the groups without them;
    notes common to one cut are under that cut's title."""
    by_machine: dict[str, list[Group]] = {}
    for group in settings.groups:
        if group.machine:
            by_machine.setdefault(group.machine, []).append(group)
    for_all = {machine: _same(groups) for machine, groups in by_machine.items()}
    shown: list[Shown] = []
    of_each = groupby(settings.groups, key=lambda one: (one.order, one.cut, one.machine))
    for (_, _, machine), of_cut in of_each:
        groups = list(of_cut)
        over = for_all.get(machine, [])
        same = [note for note in _same(groups) if note not in over] if machine else []
        title = cut_told(groups[0], in_passes=settings.in_passes)
        for at, group in enumerate(groups):
            own = tuple(note for note in group.notes if note not in (*over, *same))
            cut, notes = ("", []) if at else (title, _lines(same))
            shown.append(Shown(cut, notes, group._replace(notes=own)))
    return [line for one in for_all.items() for line in _of_machine(*one, len(by_machine))], shown


def _of_machine(machine: str, notes: Sequence[str], machines: int) -> list[str]:
    """Return the common notes of a machine, which is named if there are several."""
    lines = _lines(notes)
    if lines and machines > 1 and not lines[0].startswith("!"):
        lines[0] = f"{machine[0].upper()}{machine[1:]}: {lines[0]}"
    return lines


def _lines(notes: Sequence[str]) -> list[str]:
    return notes_told(Group("", (), (), notes=tuple(notes)))


def _same(groups: Sequence[Group]) -> list[str]:
    """Return the notes common to several groups."""
    if len(groups) < 2:
        return []
    return [note for note in groups[0].notes if all(note in one.notes for one in groups)]


def cut_told(group: Group, *, in_passes: bool) -> str:
    """Return a group's cut by name, with its pass if a batch has several, for example ``Pass 2:
    relief bevel, both edges``; "" for a plain rip that is the only cut."""
    name = group.cut
    if in_passes and group.machine:
        return f"Pass {group.order}: {name}" if name else f"Pass {group.order}"
    return "" if name in ("", SQUARE_RIP) else f"{name[0].upper()}{name[1:]}"


_SIGNED = re.compile(r"\d[+-](?: |$)")
_BY_SAW = re.compile(r"blade leans (?!under)")
"""The note on hand-held saws: their blades lean under the base or rail, whichever way the table saw
tilts."""
_TILTS = {"left": "tilts left", "right": "tilts right", "both": "tilts both ways"}


def settings_explained(settings: BatchSettings, machine: ShopMachine, where: str) -> str:
    """Return the explanation of a batch's signs behind lengths, and of each saw's tilt, which is
    set `where`. "" if it has neither."""
    lines = []
    if any(
        any(group.signs.values()) or any(map(_SIGNED.search, group.own.values()))
        for group in settings.groups
    ):
        lines.append("+ is a little more, - less.")
    tilts = {MITER_SAW: machine.miter_tilts}
    saws = {
        group.machine: tilts.get(group.machine, machine.tilts)
        for group in settings.groups
        if group.placed or any(map(_BY_SAW.search, group.notes))
    }
    lines += [f"For a {saw} that {_TILTS[way]} ({where})." for saw, way in saws.items()]
    return " ".join(lines)

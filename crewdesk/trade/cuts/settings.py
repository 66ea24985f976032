"""A stage's sheet of settings: pieces grouped so that each machine is set least often."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import groupby

from crewdesk.trade.refusal import Refusal

Setting = tuple[tuple[str, Fraction], ...]


@dataclass(frozen=True)
class Need:
    """A piece that needs a machine set: `setting` names each part of it and its value.

    `length` is the piece's, in inches; `setting` holds inches or degrees as the part's
    name says, as ``(("blade tilt", 15), ("fence width", 6 1/2))``, with the part that is
    the slowest to set first, the same parts in the same order for all of one machine.

    Raises `Refusal`: `setting-without-parts`, `setting-negative`.
    """

    piece: str
    machine: str
    length: Fraction
    setting: Setting

    def __post_init__(self) -> None:
        if not self.setting:
            raise Refusal("setting-without-parts", piece=self.piece, machine=self.machine)
        for part, value in self.setting:
            if value < 0:
                raise Refusal("setting-negative", piece=self.piece, part=part, value=value)


@dataclass(frozen=True)
class SettingGroup:
    """One setting of a machine and the pieces under it, the longest first."""

    machine: str
    setting: Setting
    needs: tuple[Need, ...]


@dataclass(frozen=True)
class SettingSheet:
    """The groups in the order to work through; `times_set` how often a machine is set this
    way, `beam_by_beam` how often if the pieces were taken as they came."""

    groups: tuple[SettingGroup, ...]
    times_set: int
    beam_by_beam: int


def setting_sheet(needs: Sequence[Need]) -> SettingSheet:
    """The sheet for a stage's pieces, given beam by beam as they would be worked.

    A machine must be set at least once for every different setting asked of it, and
    taking all pieces of a setting together sets it just once: the count can't be less.
    Settings that share their slowest part stand together, so that this part is set once
    for each of its values as well. Machines keep the order they first come in; a
    machine's settings go from the greatest down, and a group's pieces from the longest
    down, so that a short one can still come out of a spoiled long one.

    Raises `Refusal` `setting-parts-differ` where one machine's needs name other parts.
    """
    parts: dict[str, tuple[str, ...]] = {}
    for need in needs:
        own = tuple(part for part, _ in need.setting)
        if parts.setdefault(need.machine, own) != own:
            raise Refusal("setting-parts-differ", piece=need.piece, machine=need.machine, parts=own)
    order = {machine: place for place, machine in enumerate(parts)}
    ordered = sorted(needs, key=lambda need: (order[need.machine], _down(need), -need.length))
    groups = tuple(
        SettingGroup(machine, setting, tuple(members))
        for (machine, setting), members in groupby(
            ordered, key=lambda need: (need.machine, need.setting)
        )
    )
    return SettingSheet(groups, len(groups), times_set(needs))


def times_set(needs: Iterable[Need]) -> int:
    """How often a machine is set when pieces are taken in this order, each machine keeping
    its setting while others work."""
    now: dict[str, Setting] = {}
    count = 0
    for need in needs:
        if now.get(need.machine) != need.setting:
            now[need.machine] = need.setting
            count += 1
    return count


def _down(need: Need) -> tuple[Fraction, ...]:
    return tuple(-value for _, value in need.setting)

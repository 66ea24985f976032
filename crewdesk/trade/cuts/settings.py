"""A stage's machine settings, with pieces grouped for the fewest setups."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import groupby

from crewdesk.errors import BadInput

Setting = tuple[tuple[str, Fraction], ...]


@dataclass(frozen=True)
class Need:
    """One cut of a piece, and its machine setting.

    `length` is the piece's, in inches; `setting` names each part with its value, in inches
    or degrees as the part's name says, for example ``(("blade tilt", 15), ("fence", 6 1/2))``,
    with the part that is the slowest to set first, and the same parts in the same order for
    all cuts of one name on one machine. `order` is the place of this cut among the piece's
    cuts and `cut` its name. `placed` says where a fence or stop is, which is part of the
    setting; `notes` say how the board lies, which is not.

    Raises `BadInput`.
    """

    piece: str
    machine: str
    length: Fraction
    setting: Setting
    order: int = 1
    cut: str = ""
    placed: str = ""
    notes: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        if not self.setting:
            raise BadInput(
                "{piece} has no setting for the {machine}. Type at least one.",
                piece=self.piece,
                machine=self.machine,
            )
        for part, value in self.setting:
            if value < 0:
                raise BadInput(
                    "{piece} needs a {part} of {value}; it must be zero or more.",
                    piece=self.piece,
                    part=part,
                    value=value,
                )


@dataclass(frozen=True)
class SettingGroup:
    """One cut at one machine setting, and its pieces, the longest first."""

    machine: str
    setting: Setting
    needs: tuple[Need, ...]

    @property
    def cut(self) -> Need:
        """The first need, with the cut's order, name, place and notes."""
        return self.needs[0]


@dataclass(frozen=True)
class SettingSheet:
    """The groups in order of work; `times_set` is the number of setups this way, `beam_by_beam`
    that of taking the pieces as they came."""

    groups: tuple[SettingGroup, ...]
    times_set: int
    beam_by_beam: int


def setting_sheet(needs: Sequence[Need]) -> SettingSheet:
    """Return the sheet for a stage's pieces, given beam by beam.

    The first cut of all pieces comes before the second of any. Within a cut's turn a machine
    must be set at least once for every different setting asked of it, and taking all pieces
    of a setting together sets it just once: the count can't be less. Settings that share
    their slowest part are next to one another, so that this part is set once for each of its
    values as well. Machines keep the order they first come in; a machine's settings go from
    the greatest down, and a group's pieces from the longest down, so that a short one can
    still come out of a ruined long one.

    Raises `BadInput` if one machine's needs name other parts for the same cut.
    """
    parts: dict[tuple[str, str], tuple[str, ...]] = {}
    for need in needs:
        own = tuple(part for part, _ in need.setting)
        if parts.setdefault((need.machine, need.cut), own) != own:
            raise BadInput(
                "{piece} has other settings for the {machine} than the pieces before it: {parts}.",
                piece=need.piece,
                machine=need.machine,
                parts=own,
            )
    machines = list(dict.fromkeys(need.machine for need in needs))
    text = list(dict.fromkeys(_told(need) for need in needs))

    def place(need: Need) -> tuple[object, ...]:
        at = text.index(_told(need))
        return (
            need.order,
            machines.index(need.machine),
            _down(need),
            need.placed,
            at,
            -need.length,
        )

    groups = tuple(
        SettingGroup(of[0].machine, of[0].setting, of)
        for _, members in groupby(
            sorted(needs, key=place),
            key=lambda need: (need.order, need.machine, _set(need), _told(need)),
        )
        if (of := tuple(members))
    )
    worked = [need for group in groups for need in group.needs]
    return SettingSheet(groups, times_set(worked), times_set(needs))


def times_set(needs: Iterable[Need]) -> int:
    """Return the number of setups if pieces are taken in this order, each machine keeping its
    setting while others work. A setup is the setting, the cut and how the boards lie: one miter to
    the left and to the right is two setups."""
    now: dict[str, tuple[object, ...]] = {}
    count = 0
    for need in needs:
        setup = (need.order, *_set(need), *_told(need))
        if now.get(need.machine) != setup:
            now[need.machine] = setup
            count += 1
    return count


def _set(need: Need) -> tuple[Setting, str]:
    """Return everything that is set on the machine."""
    return need.setting, need.placed


def _told(need: Need) -> tuple[str, tuple[str, ...]]:
    """Return the notes beside the setting."""
    return need.cut, need.notes


def _down(need: Need) -> tuple[Fraction, ...]:
    return tuple(-value for _, value in need.setting)

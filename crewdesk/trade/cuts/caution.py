"""What a mark can't be refused for, but must be told with it."""

from typing import NamedTuple


class Caution(NamedTuple):
    """A named warning that goes with a mark: `why` and `facts`, told like a refusal's.

    A refusal stops; a caution stands beside marks that were made all the same.
    """

    why: str
    facts: dict[str, object]


def caution(why: str, **facts: object) -> Caution:
    """A caution of that name, with the values that its sentence needs."""
    return Caution(why, facts)

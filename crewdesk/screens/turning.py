"""From one piece to the next: of its kind, of its beam, of its pair."""

from crewdesk.job.piece import KIND_OF, PARTNER, Spot
from crewdesk.job.record import Record


def other_of_kind(record: Record, spot: Spot, by: int) -> Spot:
    """So many pieces of the same kind on, over all beams and round again."""
    spots = [
        Spot(beam.row, key)
        for beam in record.beams
        for key in beam.pieces
        if KIND_OF[key] == KIND_OF[spot.piece]
    ]
    return spots[(spots.index(spot) + by) % len(spots)]


def next_of_beam(record: Record, spot: Spot) -> Spot:
    """The next piece of the same beam."""
    keys = list(record.beam(spot.beam).pieces)
    return Spot(spot.beam, keys[(keys.index(spot.piece) + 1) % len(keys)])


def partner(spot: Spot) -> Spot:
    """The other side of the pair; from a bottom or cleats, side A."""
    return Spot(spot.beam, PARTNER.get(spot.piece, "A"))

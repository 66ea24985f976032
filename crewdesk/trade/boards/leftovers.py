"""What of a cut board is worth keeping: whole rectangles beside and behind its pieces."""

from fractions import Fraction

from crewdesk.trade.boards.rip_stock import Placed, RipBoard, Saws


def leftovers(
    board: RipBoard, saws: Saws, shortest: Fraction, narrowest: Fraction
) -> tuple[Placed, ...]:
    """The rectangles of at least `shortest` x `narrowest` that the saws leave whole.

    Ripped first, a board leaves the end of every strip and the width beside the strips;
    crosscut first, it leaves its end and the width beside the pieces of each section.
    Each kerf is taken off. A board with nothing on it is left whole.
    """
    on_it = (*board.pieces, *board.cleats)
    if not on_it:
        found = [(Fraction(0), board.length, Fraction(0), board.width)]
    elif board.first == "rip":
        found = _ripped(board, on_it, saws)
    else:
        found = _crosscut(board, on_it, saws)
    return tuple(
        Placed("leftover", *one)
        for one in found
        if one[1] - one[0] >= shortest and one[3] - one[2] >= narrowest
    )


_Rectangle = tuple[Fraction, Fraction, Fraction, Fraction]


def _ripped(board: RipBoard, on_it: tuple[Placed, ...], saws: Saws) -> list[_Rectangle]:
    strips: dict[tuple[Fraction, Fraction], Fraction] = {}
    for one in on_it:
        strip = (one.near, one.far)
        strips[strip] = max(strips.get(strip, Fraction(0)), one.end)
    found, edge = [], Fraction(0)
    for (near, far), end in sorted(strips.items()):
        found.append((end + saws.crosscut.kerf, board.length, near, far))
        found.append((Fraction(0), board.length, edge, near - saws.rip.kerf))
        edge = far + saws.rip.kerf
    found.append((Fraction(0), board.length, edge, board.width))
    return found


def _crosscut(board: RipBoard, on_it: tuple[Placed, ...], saws: Saws) -> list[_Rectangle]:
    sections: dict[Fraction, tuple[Fraction, Fraction]] = {}
    for one in on_it:
        end, far = sections.get(one.start, (one.end, one.far))
        sections[one.start] = (max(end, one.end), max(far, one.far))
    found, at = [], Fraction(0)
    for start, (end, far) in sorted(sections.items()):
        found.append((at, start - saws.crosscut.kerf, Fraction(0), board.width))
        found.append((start, end, far + saws.rip.kerf, board.width))
        at = end + saws.crosscut.kerf
    found.append((at, board.length, Fraction(0), board.width))
    return found

"""The scales of a drawing in words."""

from crewdesk.length import MM_PER_INCH, Step

READ_THE_SQUARE = "measure the walls with the square to know the slant"
"""Shown on a board whose edges differ while no square says which end has the slant."""


def cell_scales(along: float, up: float, step: Step, *, across: str = "wide") -> tuple[str, ...]:
    """The scales of a drawing made of characters, from the fullest text to the shortest.

    along, up: inches that one column and one row show; across: what the rows show, "wide"
    or "high".
    """
    column, row = _rough(along, step), _rough(up, step)
    return (
        f"1 column = {column} long, 1 row = {row} {across}",
        f"1 col = {column} long, 1 row = {row} {across}",
        f"1 col = {column}, 1 row = {row}",
    )


def true_cell_scale(up: float, step: Step) -> str:
    """The scale of a drawing made of characters that is as high as it is wide, where a cell
    is twice as high as it is wide; up: inches that one row shows."""
    return f"to scale: 1 row = 2 columns = {_rough(up, step)}"


def enlarged(what: str, times: int) -> str:
    """How many times larger than true something is drawn, "" where it is drawn true."""
    return f"{what} drawn {times} x" if times > 1 else ""


def _rough(inches: float, step: Step) -> str:
    """A length to three digits: 1.52 in, 38.6 mm."""
    if step.mm:
        return f"{inches * float(MM_PER_INCH):.3g} mm"
    return f"{inches:.3g} in"

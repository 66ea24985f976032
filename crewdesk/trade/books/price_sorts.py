"""What a price is made of."""

from typing import Literal

Sort = Literal["labour", "materials", "consumables", "overhead", "profit", "rounding"]
SORTS: tuple[Sort, ...] = ("labour", "materials", "consumables", "overhead", "profit", "rounding")

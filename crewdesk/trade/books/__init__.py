"""Hours and money: the arithmetic of a bookkeeper."""

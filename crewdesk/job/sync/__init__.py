"""Changes from several places: history, conflicts, exchange."""

"""What comes together from several places: history, conflicts, exchange."""

"""Beams and their pieces: rows, typed input, readings, and checks of plausibility."""

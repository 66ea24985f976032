"""Beams and their pieces: the rows, how they are typed and measured, and what can be believed."""

"""A simulated room and shop: boards are cut by the figures a user sees, hung, and measured.

Nothing in this package imports crewdesk (`test_dry_fit.py` holds it to that). Its arithmetic
is its own; what it knows of crewdesk is the format of a job's file and of the printed cut list.

The frame of a beam: x along the beam from end 1 to end 2 (along the slope where it is
sloped), y across from side A's show face (0) to side B's (the width), z up, square to both,
from side A's bottom edge. Lengths are inches.
"""

"""A piece of a beam: its readings, cut, steps, gaps; its beam's walls and ceiling; one number at
a time.

May import the parts.
"""

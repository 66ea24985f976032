"""A job's boards: the buying list, and each board's cuts.

May import the parts.
"""

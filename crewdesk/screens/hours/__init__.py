"""The clock, the hours of a job, its planned days, and what its work really took.

May import the parts.
"""

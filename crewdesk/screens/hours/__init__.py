"""The clock, a job's hours, its planned days, and estimate vs. actual.

May import the parts.
"""

"""A job's boards: what to buy, and how each is cut.

May import the parts.
"""

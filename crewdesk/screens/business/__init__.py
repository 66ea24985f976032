"""The business, for all jobs: settings, customers, boards, beam types and past jobs.

May import the run sheet's questions, the pictures of a piece and the parts.
"""

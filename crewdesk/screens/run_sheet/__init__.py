"""The jobs, and a job's run sheet: beams, stages, batches, what is missing.

May import the piece and the parts.
"""

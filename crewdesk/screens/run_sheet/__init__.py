"""The jobs, and a job's run sheet: beams, stages, batches, missing readings.

May import the piece and the parts.
"""

"""How fast crewdesk is, each figure as a ratio to something simple in the same run.

``python -m tests.bench.speed`` prints them all, each with its bar.
"""

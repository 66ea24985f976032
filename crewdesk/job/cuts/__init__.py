"""Cuts: marks, the machines' settings, and cuts as they were made and would be made today."""

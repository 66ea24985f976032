"""Cuts: marks, machine settings, and cuts as made compared with today's figures."""

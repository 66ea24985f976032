"""The record on disk: one TinyDB file for each job and one for the shop."""

"""Stages and their steps: what each needs, what is done, and what follows."""

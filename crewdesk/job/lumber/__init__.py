"""Boards for a job: what there is, what is wanted, which to buy and how each is cut."""

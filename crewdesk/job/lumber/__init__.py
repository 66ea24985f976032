"""Boards for a job: stock, wanted pieces, what to buy and how to cut it."""

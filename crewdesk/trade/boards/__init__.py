"""Boards to buy and how to cut them up."""

"""What is printed to be taped up, filled in by hand or stuck on a board: black on white."""

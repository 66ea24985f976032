"""The dry fit over 20,000 rooms, and the check of the check: which faults it notices."""

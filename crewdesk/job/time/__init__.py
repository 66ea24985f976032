"""Hours: the clock, time entries, other work and planned days."""

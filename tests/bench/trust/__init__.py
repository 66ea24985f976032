"""Nothing lost and nothing let in: the store under kills, faults and damage.

``python -m tests.bench.trust`` does it in earnest and prints what was counted, each with its
bar; `tests/test_trust.py` does a short form of it. A kill ends the program, not the machine:
what a power cut leaves behind depends on the disk as well, for which everything that is
acknowledged was fsynced before.
"""

"""What holds over all jobs: the shop, its customers, boards, forms of beam and past jobs.

May import the run sheet's questions, the pictures of a piece and the parts.
"""

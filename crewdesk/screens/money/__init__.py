"""A job's money (price, material, extra work, invoices), and the accounts over all jobs.

May import the material and the parts.
"""

"""Documents for a customer or a tax adviser: estimates, invoices, credit memos and accounts.

A file here imports the job's books, the trade and `crewdesk/paper`'s own files, never `text`,
`sheets` or `figures`.
"""

"""What a customer or a tax adviser reads: estimates, invoices, credit memos and the accounts.

A file here imports the job's books, the trade and `crewdesk/paper`'s own files, never `text`,
`sheets` or `figures`.
"""

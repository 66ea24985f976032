"""What commands print about a job, and the screens show of it: text, and the same as JSON.

A file here imports the job, the trade and `crewdesk/paper`'s own files, `documents` only for
how money is shown; nothing here draws or prints a page.
"""

"""Text about a job for commands and screens, and the same as JSON.

A file here imports the job, the trade and `crewdesk/paper`'s own files, `documents` only to format
money; nothing here draws or prints a page.
"""

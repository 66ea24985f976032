"""PDF pages for the shop: to tape to a saw, fill in by hand or stick on a board, black on white.

`parts.py` builds them from the text of `crewdesk/paper/text`. They import that, the job, the trade
and the PDF library; no page imports `documents`.
"""

"""PDF pages for the shop: taped to a saw, filled in by hand or stuck on a board, black on white.

They are put together by `parts.py` from what `crewdesk/paper/text` says, and import that, the
job, the trade and the PDF library; no page imports `documents`.
"""

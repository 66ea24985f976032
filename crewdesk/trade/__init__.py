"""The trade's arithmetic: lengths, cuts and marks.

Pure computation: nothing here reads a file, a clock or a screen. Invalid input raises an error of
`crewdesk.errors`, with its sentence.
"""

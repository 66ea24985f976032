"""The trade's arithmetic: lengths, cuts and marks.

Pure computation. Nothing in here reads a file, a clock or a screen, and nothing
in here holds a sentence for people: what is refused is raised as a `BadInput`,
whose name is put into words in `crewdesk.job.sentences`.
"""

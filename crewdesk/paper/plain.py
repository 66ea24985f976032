"""Text of the user made harmless for a terminal and for paper."""


def plain(text: str) -> str:
    """One line of `text` in which every character is seen.

    Line breaks, tabs and odd spaces become a space. Control characters, which could
    drive a terminal, marks that turn the reading direction, other unseen marks and
    halves of a surrogate pair become a question mark.
    """
    if text.isprintable():
        return text
    return "".join(c if c.isprintable() else " " if c.isspace() else "?" for c in text)

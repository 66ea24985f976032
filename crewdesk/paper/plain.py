"""Make the user's text harmless for a terminal and for paper."""


def plain(text: str) -> str:
    """Return `text` as one line of visible characters.

    Line breaks, tabs and odd spaces become a space. Control characters, which could drive a
    terminal, marks that change the writing direction, other invisible marks and half surrogate
    pairs become a question mark.
    """
    if text.isprintable():
        return text
    return "".join(c if c.isprintable() else " " if c.isspace() else "?" for c in text)

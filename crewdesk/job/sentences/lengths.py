"""Sentences about lengths and angles."""

_FORMS = "12' 3-5/16\", 12 3 5/16, 147-5/16, 147.3125, 5/16 or 3738 mm"

SENTENCES = {
    "length-empty": f"No length was given; write one as {_FORMS}.",
    "length-too-long": "A length has at most {limit} characters, and this text has more: {text}...",
    "length-negative": "{text} is below zero; a length here is zero or more.",
    "length-ambiguous": "{text} can be read in more than one way; write {readings}.",
    "length-zero-denominator": "{text} has a zero under its fraction; write one as 5/16.",
    "length-off-the-rule": (
        "{text} has {bottom} under its fraction, into which no rule is divided; write 2, 4, 8, "
        "16, 32 or 64 there, or 10 or 100."
    ),
    "length-too-large": "{text} is longer than any board; the most is {limit} in.",
    "length-unread": f"{{text}} is not a length; write one as {_FORMS}.",
    "angle-unread": (
        "{text} is not an angle; write degrees from 0 to below {below}, as 15 or 22-1/2."
    ),
}

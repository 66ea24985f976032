"""What pages and questions are made of: page, sheet, form, lists, lines, keys, pictures.

Knows no page. May import what is below the screens, and nothing else of them.
"""

"""The building blocks of pages and questions: page, sheet, form, lists, lines, keys, pictures.

They know no page. They may import everything below the screens, and nothing else of them.
"""

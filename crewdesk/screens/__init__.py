"""The screens, by area: parts, run_sheet, piece, material, money, hours, business.

Beside the areas are the app and what it does from everywhere: find, look up, help, undo, save.
"""

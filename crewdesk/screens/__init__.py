"""What is seen and pressed, by rooms: parts, run_sheet, piece, material, money, hours, business.

Beside the rooms stand the app and what it does from everywhere: find, look up, help, undo, save.
"""

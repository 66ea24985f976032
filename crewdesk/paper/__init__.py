"""Printed and exported output: `documents` for customers, `sheets` (PDF) for the shop, `text` for
commands and screens, `figures` without a job. It imports the store and everything below."""

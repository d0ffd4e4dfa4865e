"""The command line room: one module a command, imported only when the command is used.

It turns words typed by a person into calls of the rooms below and their answers into text. Nothing
is computed here. Exit codes: see `run`.
"""

"""The desk: the whole job in a browser, over a folder of plain tune files.

Rule of the room: it has no logic of its own. Every answer is what the other rooms give to the
command line; here it is asked for, kept on disk and sent. Nothing leaves this computer.
"""

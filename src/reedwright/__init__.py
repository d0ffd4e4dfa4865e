"""Reedwright: a harmonica tune as plain text, checked for playability and printed as a lesson.

Each package inside is a room named by a word of the trade; import from the rooms' modules.
Arrows between rooms run one way (``a <- b``: b may import a):
harp <- tune <- performance <- (breath, harmony, sheet) <- check <- pack <- cli.
"""

__version__ = "0.1.0"

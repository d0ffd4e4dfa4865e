"""The lesson room: what a tune asks of a student, and how to take it apart to learn it.

Rule of the room: values (lines, pieces, relations, difficulties) are frozen and name notes by the
ids of their events, never by a running index; everything else is a pure function over a placed
score, linear in its length. Every weight is in `data/lesson.toml`. Only `load` opens files.
"""

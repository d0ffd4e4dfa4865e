"""The fit room: harp, position and tab for a melody, and the proof that none suits better.

Rule of the room: a melody and the harps at hand in, choices out, best first. What a tab costs is a
sum over its notes and the moves between them (`costs`), and the tab found is its exact minimum.
"""

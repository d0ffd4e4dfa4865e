"""The tune room: a plain-text tune, what it means, and where every note falls.

Rule of the room: values (sounds, cells, licks, tunes, events) are frozen; reading and writing
text and placing licks on the form are pure functions over them; only `load` opens files. Time is
exact: `Fraction` counted beats, unswung. Swing and tempo belong to the performance room.
"""

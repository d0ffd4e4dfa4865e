"""The check room: everything that can be said about a tune before it is played.

Rule of the room: a check is a pure function from a placed score to findings, each with its place,
what was found and the mend. Findings advise, they do not scold; only what cannot be played as
written is an error. A check skips the events that `exists` has found impossible.
"""

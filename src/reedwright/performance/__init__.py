"""The performance room: when every note of a placed tune sounds, and how somebody plays it.

Rule of the room: one pure step from a score, a tempo and a swing ratio to frozen timed events, and
one from these and a seed to played ones. Beats stay exact; seconds are rounded once, from the exact
value. Nothing here knows how sound is made.
"""

"""The performance room: when every note of a placed tune sounds, in swung beats and in seconds.

Rule of the room: one pure step from a score, a tempo and a swing ratio to frozen timed events.
Beats stay exact; seconds are rounded once, from the exact value.
"""

"""The vary room: other endings, rhythms, places and levels for a teacher's own licks.

Rule of the room: a placed tune in, proposals out; every one is made from the lick it varies by a
written rule, passes every check the lick passes, and says what changed and why.
"""

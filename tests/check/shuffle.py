"""One tune as text, for the harmony and check tests and for the bench of the check."""

SHUFFLE = """\
Title: Mill Race
Harp: A
Position: 2
Feel: shuffle
Tempo: 64, 88, 112
Form: 12-bar quick change
Student: steady

Lick Call (cup closed, loud)
0: . . . .&2d
1: /3d&4d = 4d'&4d 3d&2d
2: 1+2+3b&1+2+3b . 2d&1d 2d
> Lean on the third.

Lick Home
1: 2d = 3d'&2d 1d
2: 2d = . .&2d

Lick Low
1: 1+2+3b&1+2+3d 1+2+3b&1+2+3d 1+2+3b&1+2+3d 1+2b
2: 1+2+3b . 3d'&3d'&2d 1d

Lick High
1: 4d&5d 5b&4d 4d'&4d 3d&2d
2: 4x5d@6 = = 4d

Lick Climb
1: 1d&1d 2d''&2d 4d 4d'
2: 4b = 3d'&2b 2d
3: 2d&3d' 3d&4d 5d&4d 3d&2d
4: 2d&2d'' 1d 1d .

Chorus
1 Call
3 Home
5 Low
7 High
9 Climb
"""
"""A twelve-bar in cross position with what belongs there: blue thirds, dips, chord rhythm."""

"""What a player does without being told: the figures of gestures, timing and breath.

Conventions: seconds, hertz, cents, and shares of the breath or of the hands' opening. No source
gives any of them for this instrument: all are from memory, a design to listen to and to edit,
unless another origin stands beside one. The sheet's MIDI file takes its glides and rates from here.
"""

from __future__ import annotations

from reedwright.tune.marks import Cup, Loudness

# Pitch
DIP_S = 0.12  # a dip takes this long, or a third of a short note
FALL_S = 0.18  # a fall takes this long, or half of a short note
SLUR_S = 0.07  # from one bend to the next on the same breath, or half of a short note
SCOOP_S = 0.025  # a plain note comes up to pitch in this time, or a third of a short note
BENT_SCOOP_S = 0.045  # a bend or overbend needs longer, since the mouth has to find it
SCOOP_CENTS = 12.0  # from so far below
BENT_SCOOP_CENTS = 35.0
THROAT_CENTS = 40.0  # a throat vibrato dips so far below the note, where the note lets it
SWAY_CENTS = 15.0  # any reed flattens so much under a change of breath, though it does not bend
OVER_SWAY_CENTS = 30.0  # an overbend that is not quite up to pitch
INSIDE_CENTS = 25.0  # a bend stays so far above the lower note of its hole
GLIDE_POINTS = 5  # straight pieces of an eased glide: 3 cents off its curve for a whole tone

# Rates
VIBRATO_HZ = 5.0  # throat or hand, where the tune names no rate
FLUTTER_HZ = 20.0
SHAKE_HZ = 10.0  # changes a second of a shake, where the tune names no rate
WAH_PER_BEAT = 1.0  # openings of a moving cup or hand wah, where the tune names none
FASTEST_HZ = 25.0  # nobody moves faster; a rate above it is played at it
VIBRATO_DELAY_S = 0.2  # a vibrato begins so late, or after a quarter of a short note
VIBRATO_GROWTH_S = 0.3  # and needs so long to its full depth, or a quarter of a short note
CYCLE_POINTS = 12  # straight pieces of a cycle: at most 3.4 % of the depth off a sine
FLUTTER_POINTS = 8

# Breath
BREATH = {
    Loudness.VERY_SOFT: 0.2,
    Loudness.SOFT: 0.34,
    Loudness.MEDIUM: 0.5,
    Loudness.LOUD: 0.7,
    Loudness.VERY_LOUD: 0.88,
}
MOST_BREATH = 1.0
ACCENT = 0.25  # share of its breath an accent adds at the start
ACCENT_S = 0.12  # in which it goes back
ACCENT_KEPT = 0.08  # to this share, for the rest of the note
GHOST = 0.5  # share of its breath a ghost keeps
TONGUE_RISE_S = 0.012  # air behind the tongue is there at once
BREATH_RISE_S = 0.04  # without a tongue it has to gather
RELEASE_S = 0.015  # the air stops
SWELL = 0.06  # a note is fullest at SWELL_AT of its length and has so much less at both ends
SWELL_AT = 0.35
THROAT_BREATH = 0.25  # share of the breath a throat vibrato takes away at its lowest
FLUTTER_BREATH = 0.6  # and a flutter
FALL_BREATH = 0.35  # share left at the end of a fall

# Hands
OPENNESS = {Cup.OPEN: 1.0, Cup.CLOSED: 0.0, Cup.MOVING: 0.0}
"""Where the hands rest; a moving cup is closed on the beat and open in the middle of it."""
HAND_DEPTH = 0.4  # a hand vibrato opens or closes the hands so far
CUP_MOVE_S = 0.1  # hands go from closed to open in this time

# Tongue and holes
TONGUE_GAP_S = 0.025  # silence before the same hole is tongued again, or GAP_SHARE of a short note
TURN_GAP_S = 0.015  # silence while the breath turns from blow to draw or back
GAP_SHARE = 0.25
LEAST_SOUND_S = 0.002  # a hole reached so late in a shake is not reached any more
RAKE_STEP_S = 0.03  # each hole a rake passes
RAKE_LEAST_S = 0.008  # a hole passed faster is not heard; the farthest ones are left out
RAKE_SHARE = 1 / 3  # of the note before, which a rake may take for itself
SLAP_S = 0.03  # neighbours of a slap sound so long, or a third of a short note
PULL_S = 0.09  # neighbours of a pull sound so long at the end, or a third of a short note
NEIGHBOURS = 2  # holes beside a single note that a slap or pull lets sound

# Time
JND_S = 0.006  # just noticeable displacement below 240 ms (Friberg & Sundberg 1995)
JND_SHARE = 0.025  # above 240 ms (Friberg & Sundberg 1995)
DRIFT = 0.3  # spread of the slow wander, share of the just noticeable displacement
JITTER = 0.35  # spread note by note: both together stay within it for 97 notes of 100
BREATH_SPREAD = 0.04  # share by which the breath differs from note to note
SCOOP_SPREAD = 0.3  # and the depth of a scoop
MOST_HUMAN = 3.0  # times the usual looseness: more is a player who has lost the beat

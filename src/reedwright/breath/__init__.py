"""The breath room: whether a tune can be breathed, and how.

Rule of the room: values (lungs, segments, ledgers, plans) are frozen; everything else is a pure
function over a sequence of segments, linear in its length. Volumes are litres above residual
volume. Air drawn through the harp fills the player, air blown empties them.
"""

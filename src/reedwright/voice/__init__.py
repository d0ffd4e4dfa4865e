"""The voice room: the sound of the harp itself, as it leaves the player's mouth and hands.

Rule of the room: a played performance in, samples out, 48 kHz, float32. Each hole is a chamber with
two reeds; what is not modelled stands in so that nobody hears a seam.
"""

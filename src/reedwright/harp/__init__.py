"""The harp room: every pitch of a harp from its definition.

Rule of the room: values (tab notes, tunings, harps) are frozen; the law of the two reeds, the
positions and the temperaments are pure functions over them; charts turn them into text and SVG.
"""

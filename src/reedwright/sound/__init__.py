"""The sound room: every recording of a pack, mixed, measured, encoded and kept.

Rule of the room: stems are made once and kept by what they were made from; a recording is a recipe
over stems. Loudness in LUFS, levels in dBFS, 48 kHz.
"""

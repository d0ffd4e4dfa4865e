"""The amp room: what cup, microphone, amplifier, speaker and room do to a harp's sound.

Rule of the room: an amp file and samples in, samples out, 48 kHz, float32. Every stage states its
parameters in plain units with their origin.
"""

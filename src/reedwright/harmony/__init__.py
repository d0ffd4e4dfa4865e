"""The harmony room: what each note is to the key and to the chord under it, and why it lands.

Rule of the room: values (tones, zones) are frozen; everything else is a pure function of a placed
tune. It advises on single notes and chords; it does not analyse and does not scold.
"""

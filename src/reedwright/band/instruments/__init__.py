"""The band's instruments: strings, drums, organ and piano made of numbers alone, no sample.

Rule of the room: a note is a pure function of its `NoteKey`; every number that shapes a sound
stands in `data/instruments.toml`.
"""

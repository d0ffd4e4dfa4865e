"""The pack room: all sheets of one tune in a folder, with a manifest, written whole or not at all.

Nothing is computed here but hashes; what each file holds is the business of the rooms below.
"""

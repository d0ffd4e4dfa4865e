"""The band room: drums, bass, guitar and keys for any form, key, meter and feel.

Rule of the room: rules a musician can edit in, parts out, each bar drawn from (seed, chorus, bar),
so that one edit changes nothing else; then instruments that play the parts.
"""

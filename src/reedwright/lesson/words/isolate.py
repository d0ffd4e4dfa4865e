"""Names from outside set among words that run from left to right.

Source: the Unicode bidirectional algorithm (UAX 9): what stands between FSI and PDI cannot turn
what stands around it.
"""

from __future__ import annotations

import unicodedata

_CONTROLS = frozenset("\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")
_FSI, _PDI = "\u2068", "\u2069"
_RIGHT_TO_LEFT = frozenset({"R", "AL", "AN"})


def isolated(name: str) -> str:
    """A name that leaves the direction of the words around it alone; as it is, where it does so.

    >>> isolated("Call"), isolated("\\u05d0") == "\\u2068\\u05d0\\u2069"
    ('Call', True)
    """
    if name.isascii():
        return name
    kept = "".join(char for char in name if char not in _CONTROLS)
    turns = any(unicodedata.bidirectional(char) in _RIGHT_TO_LEFT for char in kept)
    return f"{_FSI}{kept}{_PDI}" if turns else kept

"""Exit codes, all of them: what a shell or a program learns from a run of `reedwright`.

Source: 128 + the signal, as shells report a process that a signal ended; sysexits.h for a fault of
ours. The others are common practice.
"""

FINE = 0
FAULTY = 1
"""The tune has errors, or is not tidy."""

UNREADABLE = 2
"""A file that cannot be read or written, or wrong words."""

OUR_FAULT = 70
"""EX_SOFTWARE."""

STOPPED = 130
"""By Ctrl-C (SIGINT)."""

UNREAD = 141
"""Nobody reads on (SIGPIPE)."""

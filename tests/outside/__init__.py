"""Checks against something outside: each names its source beside it, or says it has none."""

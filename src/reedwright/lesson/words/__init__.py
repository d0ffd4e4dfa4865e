"""A lesson in words: what a teacher says about every piece, in a language that is a file."""

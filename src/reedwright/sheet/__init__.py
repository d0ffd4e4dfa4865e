"""The sheet: a tune in the forms a student prints, or another program reads."""

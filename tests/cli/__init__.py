"""Tests of the command line room."""

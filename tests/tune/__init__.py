"""Tests of the tune room."""

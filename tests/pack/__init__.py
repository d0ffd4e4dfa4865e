"""Tests of the pack room."""

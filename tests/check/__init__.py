"""Tests of the check room, one module for each of its modules."""

"""Tests of the harp room, one module for each of its modules."""

"""Tests of the breath room, one module for each of its modules."""

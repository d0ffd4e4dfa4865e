"""Tests of the lesson room, one module for each of its modules."""

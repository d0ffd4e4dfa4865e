"""Tests of the harmony room, one module for each of its modules."""

"""Tests mirror the rooms; tests/outside/ holds those that check against something outside."""

"""Tests of the choice of the next test, on plain numbers."""

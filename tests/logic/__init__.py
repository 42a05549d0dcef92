"""Tests of the rules by which a module drives its outputs."""

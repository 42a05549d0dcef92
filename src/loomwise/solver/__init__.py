"""Solving: a circuit as arrays, its devices' states, and what instruments read.

Shapes and signs used throughout: ``(n,)`` nodes without the body, ``(b,)`` branches, ``(d,)``
devices, ``(f, ...)`` variants side by side. Current is positive into a branch's first end;
voltages are against the body.
"""

"""Benchmarks: ``./run bench [NAME...] [--json]``. Each is a module with ``run(report)``.

A new one is a module beside this and a line in ``benchmarks.registry``.
"""

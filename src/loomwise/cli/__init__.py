"""The command line: turns words into use cases, and their answers into text or JSON."""

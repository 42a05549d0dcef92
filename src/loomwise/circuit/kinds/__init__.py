"""Part kinds as tables: read by code, forms, the command line and the docs alike."""

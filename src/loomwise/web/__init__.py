"""The pages and the documented JSON, served on this machine only."""

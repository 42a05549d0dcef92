"""What a person can ask for, one use case a file; each returns frozen data ready for JSON."""

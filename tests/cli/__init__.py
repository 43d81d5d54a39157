"""The command line as somebody types it."""

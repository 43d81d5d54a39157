"""Two versions of a pattern compared."""

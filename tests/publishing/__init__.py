"""From a checked pattern to files on disk."""

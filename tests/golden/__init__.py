"""Whole documents as they were when somebody last read them."""

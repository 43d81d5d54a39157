"""Seeded faults: single mistakes put into a sound pattern, to see that the tool finds them."""

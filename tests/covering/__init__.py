"""Tests of who is served by a range of sizes, and of the choice of sizes."""

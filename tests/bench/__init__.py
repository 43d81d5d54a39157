"""Benchmarks, run by hand; none of them is collected as a test."""

"""Stripes along the yarn, their drawing, and the time a pair takes."""

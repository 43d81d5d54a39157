"""Swatches, and patterns at another gauge than their own."""

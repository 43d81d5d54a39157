"""Needle setups: the same sock written out for each way of holding its stitches."""

from grader.setups.pairing import both_socks
from grader.setups.writing import setup_names, write_out

__all__ = ["both_socks", "setup_names", "write_out"]

"""Charts: lines and drawings of one stitch pattern, each made from the other."""

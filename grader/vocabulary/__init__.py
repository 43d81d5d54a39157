"""Words and figures every stage shares: quantities, formulas, stitches, findings, wording."""

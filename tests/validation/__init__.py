"""What other programs say of the editions that are made; run by hand, no part of the suite."""

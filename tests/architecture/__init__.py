"""What the code promises about itself: arrows, sizes, frozen values, public verbs, and documents that are true."""

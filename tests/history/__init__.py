"""Published directions written as pattern files: they must knit up, and their own figures must come out."""

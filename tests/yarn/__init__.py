"""How much yarn a pair takes: by kind of stitch, by part and colour, beside what others have weighed and advise."""

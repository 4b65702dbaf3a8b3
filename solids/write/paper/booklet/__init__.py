"""One booklet for a piece, in the order of the work, made of the same parts as the single sheets."""

"""The page on which a piece can be turned: one HTML file that needs no network."""

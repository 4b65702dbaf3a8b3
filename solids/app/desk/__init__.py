"""`halfpin bench`: a page on which a piece is designed, and the server behind it."""

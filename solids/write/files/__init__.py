"""Every file of a piece: what it is made from, how it is made and read back."""

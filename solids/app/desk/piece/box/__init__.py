"""A box as the page draws it: from above with its sides, and cut through side, groove and bottom; and its sizes."""

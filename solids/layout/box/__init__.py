"""A box: its boards, corners, groove and bottom, what of it cannot be made, and its cut list."""

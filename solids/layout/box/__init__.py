"""A box: its boards, corners, groove and bottom, the reasons it cannot be made, and its cut list."""

"""Boards of the joint, cut short, to try a fit before wood is cut: coupons and samples."""

"""The shape of a joint: its tails by their flanks, the extent of its boards, and where a recipe puts them."""

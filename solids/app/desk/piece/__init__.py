"""What the page shows of one piece, worked out from its recipe alone. No kernel."""

"""Notes in Markdown, and the cut list as CSV."""

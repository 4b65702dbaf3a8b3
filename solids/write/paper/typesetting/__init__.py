"""What all papers are set with: the one font, pages of a PDF file, and running text."""

"""The bench as a page in the browser: recipes of a folder, each piece with its drawings, its proof and its files."""

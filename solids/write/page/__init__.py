"""The page that turns the joint over: one HTML file that needs no network."""

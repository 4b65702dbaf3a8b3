"""From marks taken off a board that is there already to a recipe: read, put in order, tried for slips, written."""

"""What a person meets: the commands, many joints in one run, the terminal, the page that follows a recipe."""

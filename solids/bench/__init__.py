"""What a layout means at the bench: settings, order of work, milling, movement, strength, time, advice. No kernel."""

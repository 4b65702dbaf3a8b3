"""What knows no joint: errors, limits, lengths, findings, cautions, loops of points, signals, work on all cores."""

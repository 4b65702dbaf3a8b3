"""What knows nothing of joints: errors, limits, lengths, findings, cautions, loops of points, signals, work on all
cores."""

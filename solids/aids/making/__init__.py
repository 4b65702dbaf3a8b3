"""What all shop aids are made with: the records, solids, engraving, and room on the bed."""

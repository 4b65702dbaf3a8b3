"""What may be asked for, table by table, and the recipe with nothing left out."""

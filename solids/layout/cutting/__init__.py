"""From the cut list and the boards in the rack to a plan of what is sawn out of which board."""

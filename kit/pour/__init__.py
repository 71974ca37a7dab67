"""What the floor is meant to be: palette, recipe, motions of the trowel, and the film they leave."""

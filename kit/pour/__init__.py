"""What the floor is meant to be: palette, recipe, motions, and the film they leave."""

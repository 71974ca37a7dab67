"""What the eye will see: optics, light, rooms, cameras, finished pictures."""

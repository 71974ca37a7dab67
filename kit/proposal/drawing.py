"""The plan to a standard scale, as shapes, strokes and labels in points."""

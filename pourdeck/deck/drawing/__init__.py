"""Drawings to scale in characters: from records to a canvas of cells, without a screen."""

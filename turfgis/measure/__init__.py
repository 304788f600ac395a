"""From drawn layers to patches: pieces of turf in true square metres, each counted once."""

"""How a bag is made: outlines that close, seams, fates of edges and the order of steps."""

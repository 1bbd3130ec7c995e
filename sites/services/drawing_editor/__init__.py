"""Drawing a window from its measurements: boxes, layout, drawing, saving."""

"""Outlines of openings and lights: rings of edges and arcs, heads and shapes, pure geometry."""

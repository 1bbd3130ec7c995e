"""Drawings of the register: a scene in millimetres, and the one way it becomes SVG."""

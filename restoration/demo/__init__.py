"""The demonstration: an invented church, its surveys and its photographs."""

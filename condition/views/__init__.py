"""The pages of visits: surveys, findings, looks, photographs, reports."""

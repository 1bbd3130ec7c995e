"""What changes surveys, findings and photographs, and issues condition reports."""

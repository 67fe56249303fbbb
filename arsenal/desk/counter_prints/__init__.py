"""What the Counter prints: tickets and labels, drawn in millimetres by one hand for screen, PDF and printer."""

"""What is due on which ball, why, and by when."""

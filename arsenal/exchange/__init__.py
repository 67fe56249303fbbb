"""Files and lines in and out."""

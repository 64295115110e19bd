"""What is odd or wrong in what was written, as values; printers stand apart."""

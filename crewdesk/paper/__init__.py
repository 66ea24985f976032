"""What is printed or exported: figures, cut lists, progress and hours."""

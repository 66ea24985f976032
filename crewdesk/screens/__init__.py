"""What is seen and typed: the Textual screens."""

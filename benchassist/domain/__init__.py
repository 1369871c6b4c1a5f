"""What can happen at a bench, and what may; knows no file, clock or Qt."""

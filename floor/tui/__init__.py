"""What is shown: the only textual imports; one screen a file, one widget a file."""

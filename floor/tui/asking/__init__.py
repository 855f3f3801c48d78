"""The floor screen's questions: everything that needs more than one key, each asked in a dialog."""

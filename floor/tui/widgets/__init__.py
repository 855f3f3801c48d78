"""The floor's own widgets: each draws its own lines and refreshes only those that changed."""

"""What reduces losses: measures in place, low-voltage circuits, and how soon a device pays for itself."""

"""What slows a loss: the measures of a build, its low-voltage circuits, what a device saves. It approves nothing."""

"""Line widgets that repaint only the cells that changed; they know plain data, no engineering."""

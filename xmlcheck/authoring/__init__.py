"""For those who write instruments and rules: skeletons, a check of a plugin folder, and the generated reference."""

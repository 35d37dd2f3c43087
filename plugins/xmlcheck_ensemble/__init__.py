"""Players together: pitch standard, microtones between parts, changes of instrument, divided sections."""

"""Folk instruments of Europe as data: the lever harp."""

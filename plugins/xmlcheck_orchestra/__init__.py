"""Instruments of the symphony orchestra as data: violin, viola, cello, double bass, clarinet in B flat and horn."""

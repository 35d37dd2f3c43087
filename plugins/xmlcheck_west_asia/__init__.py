"""Instruments of Turkish, Arabic and Pontic music as data: oud, qanun, Turkish ney, classical kemenche and Black Sea kemenche."""

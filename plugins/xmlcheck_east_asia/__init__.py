"""Instruments of Japanese and Chinese music as data: koto with 13 strings, shakuhachi (length 1.8), erhu and pipa."""

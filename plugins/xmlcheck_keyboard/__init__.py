"""Keyboards: hands, fingers, pedals, registers, button boards, bellows."""

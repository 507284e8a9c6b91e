"""Colours looked at: `contrast` (do they read?), `palette` (all laid out), `lookalikes`, `photo` (colours from a
photograph) and `whose` (which yarn a scrap is of).
"""

"""Colours looked at: `contrast` (do they read?), `pictures` (of two of them), `palette` (all laid out), `lookalikes`,
`photo` (colours from a photograph), `photo_words` (what it says of them), `upright` (the picture to draw boxes on),
`take` (those written into lots), `scrap` (what she says of a scrap) and `whose` (which yarn it is of).
"""

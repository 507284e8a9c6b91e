"""What American and British knitters call by two names."""

from matcher.reasons.reason import Trade

BIND_OFF = Trade("bind off", "cast off")
GAUGE = Trade("gauge", "tension")
STOCKINETTE = Trade("stockinette", "stocking stitch")

"""How socks follow feet and gauges: laws for all shipped patterns, and published figures."""

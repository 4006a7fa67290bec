"""Pages of one rope: fitness, worksheet, log, shortening, a new one."""

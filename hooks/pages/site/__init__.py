"""Pages of the whole site: start, fleet, copy for the phone, records, report of a fault, moved addresses."""

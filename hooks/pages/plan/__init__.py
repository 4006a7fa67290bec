"""Pages of one plan: the plan and its working, run sheet, briefing; its row in the finder."""

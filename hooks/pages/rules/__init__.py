"""Pages of the rules: rules, profiles, changes, how the numbers are checked."""

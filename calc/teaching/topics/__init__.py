"""One topic of exercises a module: each draws a case and works it with the numbers shown; what comes out is kept."""

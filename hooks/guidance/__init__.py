"""Hand-written guidance and what it quotes; exercises."""

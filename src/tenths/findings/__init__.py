"""The catalogue of characteristics and the check that judges them."""

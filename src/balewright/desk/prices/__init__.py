"""What things cost here, so that findings are told in money."""

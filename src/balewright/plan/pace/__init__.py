"""How fast bales come, and what holds them back."""

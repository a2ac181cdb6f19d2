"""How well what is found in rehearsed seasons fits what was planted there."""

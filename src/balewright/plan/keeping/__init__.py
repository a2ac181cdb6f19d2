"""How a wrapped bale keeps: oxygen, losses, mould, heat, additives, dry matter."""

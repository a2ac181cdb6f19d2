"""Why a cause stands where it stands: what lifts it, what speaks against it, what is missing."""

"""Why a finding is there and what to check next. Empty until the fault network lands."""
